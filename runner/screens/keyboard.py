"""The keyboard's line: what no keyboard sends is passed over, and the app goes on until the line is gone.

Owns three cares that the library's own driver has not. There a broken byte, as a line sends one after it was
cut and taken up again, ends the reading of keys, and the end of a dead line is read for ever. And there every
"continue" signal starts the reading anew, beside a reading that may still be going on: a line that hangs up
sends one too. Nor may a signal be answered in the midst of whatever it came into.
"""

from __future__ import annotations

import os
import select
from codecs import getincrementaldecoder
from typing import TYPE_CHECKING

from runner.screens.sift import closed, sifted, waited

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.driver import Driver

HUNG_UP = 129
"""Exit status where the line is gone: 128 + the number of the signal that tells it."""

_LOOK_AGAIN_MS, _AFTER_KEY_MS, _ESCAPE_MS, _AT_ONCE = 100, 12, 2, 4096
"""How often it is looked whether the app has ended; how soon after a key whether it was an escape by
itself (the bytes of one key come together, at 9600 baud 1 ms apart); how soon after that the library gives
it out, which waits 1 ms for what may follow it; most bytes read in one go."""


def steady_driver() -> type[Driver] | None:
    """The driver for a terminal; None, for the library's own, on a system without such terminals."""
    try:
        from textual._xterm_parser import XTermParser  # noqa: PLC0415  # goes with the driver
        from textual.drivers.linux_driver import LinuxDriver  # noqa: PLC0415  # not to be had on every system
    except ImportError:
        return None

    class SteadyDriver(LinuxDriver):
        """Reads keys until the app ends or the line is gone."""

        @property
        def gone(self) -> bool:
            """Whether the line was hung up: not every line that is tells it by a signal."""
            line = select.poll()
            line.register(self.fileno, 0)
            return any(
                event & (select.POLLHUP | select.POLLERR | select.POLLNVAL) for _, event in line.poll(0)
            )

        def _sigtstp_application(self, *_signalled: object) -> None:
            self._between_steps(self._stop)

        def _sigcont_application(self, *_signalled: object) -> None:
            self._between_steps(self._go_on)

        def _between_steps(self, answer: Callable[[], None]) -> None:
            # A signal comes in the midst of anything, of the queue of what is to be written too: whoever
            # writes from there waits for itself for ever.
            if not self._loop.is_closed():
                self._loop.call_soon_threadsafe(answer)

        def _stop(self) -> None:
            if self._has_the_line:
                super()._sigtstp_application()

        def _go_on(self) -> None:
            if self.gone or not self._auto_restart:
                return
            if self._has_the_line:  # it was not asked to stop, so it reads and writes still
                self.suspend_application_mode()
            elif not self._must_signal_resume:  # it has not begun, or is at its end
                return
            super()._sigcont_application()

        @property
        def _has_the_line(self) -> bool:
            return self._writer_thread is not None and self._writer_thread.is_alive()

        def run_input_thread(self) -> None:
            """Read keys until the app ends; what is no UTF-8 falls away, and takes no key after it along.

            Raises:
                OSError: The line is gone.
            """
            decoder = getincrementaldecoder("utf-8")(errors="ignore")
            parser = XTermParser(self._debug)
            line = select.poll()
            line.register(self.fileno, select.POLLIN)
            held, wait_ms = "", _LOOK_AGAIN_MS
            while not self.exit_event.is_set():
                if line.poll(wait_ms):
                    came = os.read(self.fileno, _AT_ONCE)
                    if not came:
                        raise OSError("the line has ended")
                    keys, held = sifted(held + decoder.decode(came))
                    wait_ms = _AFTER_KEY_MS
                elif wait_ms != _LOOK_AGAIN_MS:
                    keys, held = waited(held)
                    wait_ms = _ESCAPE_MS if keys else _LOOK_AGAIN_MS
                else:
                    keys, held = (closed(held), "") if held else ("", "")
                for event in parser.feed(keys) if keys else ():  # nothing means the end to it
                    self.process_message(event)
                for event in parser.tick():
                    self.process_message(event)

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
