"""The keyboard's line: what no keyboard sends is passed over, and the app goes on until the line is gone.

Owns two cares that the library's own driver has not. There a broken byte, as a line sends one after it was
cut and taken up again, ends the reading of keys. And there every "continue" signal starts the reading anew,
beside a reading that may still be going on: a line that hangs up sends one too, and the program would then
read its dead end for ever.
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

        _resuming = False

        @property
        def gone(self) -> bool:
            """Whether the line was hung up; without a signal the library would read its end for ever."""
            line = select.poll()
            line.register(self.fileno, 0)
            return any(
                event & (select.POLLHUP | select.POLLERR | select.POLLNVAL) for _, event in line.poll(0)
            )

        def _sigcont_application(self, *signalled: object) -> None:
            if self.gone or self._resuming or not self._auto_restart:
                return
            self._resuming = True  # one signal may come while another is being answered
            try:
                if not self._must_signal_resume:  # it was not asked to stop, so it reads and writes still
                    self.suspend_application_mode()
                super()._sigcont_application(*signalled)
            finally:
                self._resuming = False

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
