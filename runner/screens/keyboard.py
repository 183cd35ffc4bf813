"""The keyboard's line: bytes that no keyboard sends are passed over, and the app goes on.

Owns that one care, which the library's own driver has not: there a broken byte, as a line sends one after
it was cut and taken up again, ends the reading of keys.
"""

from __future__ import annotations

import select
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.driver import Driver

HUNG_UP = 129
"""Exit status where the line is gone: 128 + the number of the signal that tells it."""


def steady_driver() -> type[Driver] | None:
    """The driver for a terminal; None, for the library's own, on a system without such terminals."""
    try:
        from textual.drivers.linux_driver import LinuxDriver  # noqa: PLC0415  # not to be had on every system
    except ImportError:
        return None

    class SteadyDriver(LinuxDriver):
        """Reads keys until the app ends or the line is gone."""

        @property
        def gone(self) -> bool:
            """Whether the line was hung up; without a signal the library would read its end for ever."""
            line = select.poll()
            line.register(self.fileno, 0)
            return any(
                event & (select.POLLHUP | select.POLLERR | select.POLLNVAL) for _, event in line.poll(0)
            )

        def _run_input_thread(self) -> None:
            while not self.exit_event.is_set():
                try:
                    self.run_input_thread()
                except OSError:
                    self._app.call_later(self._app.exit, None, HUNG_UP)
                    return
                except Exception:  # noqa: BLE001, S112  # whatever the bytes were, the next key must count
                    continue

    return SteadyDriver
