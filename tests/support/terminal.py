"""The real program under a pseudo-terminal: keys go in, a screen comes out, and the line is looked at after.

What the terminal shows is read by an emulator; whether it was left sane, by the settings of the line
itself and by the last sequences that were sent.
"""

from __future__ import annotations

import os
import signal
import sys
import termios
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import pexpect
import pyte

from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.moment import SystemClock
from support.floors import PIN, STAFF, write_shop

WAIT_S = 45.0
ROWS, COLUMNS = 24, 80

ALTERNATE_OFF, CURSOR_ON = "\x1b[?1049l", "\x1b[?25h"


def staffed_shop(folder: Path) -> Path:
    """A shop with people whose keys open fast; gives back its folder, the keys lie beside it."""
    shop = write_shop(folder / "shop")
    floor = Floor(shop, Keys(folder / "keys", rounds=1))
    owner = None
    now = SystemClock().now()
    for who, (name, role) in STAFF.items():
        floor.roll.add(who, name, role, PIN, owner, now)
        owner = owner or floor.roll.unlock(who, PIN, now)
    floor.close()
    return shop


def surroundings(folder: Path) -> dict[str, str]:
    """Environment of the program: its keys and home in a folder, a terminal that knows colours."""
    # A worker of the test runner has COLUMNS set to its own; with it a program never learns of a resize.
    gone = ("TANKWALK_", "XDG_", "COLUMNS", "LINES")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(gone)}
    return {
        **kept,
        "TANKWALK_KEYS": str(folder / "keys"),
        "HOME": str(folder),
        "TERM": "xterm-256color",
        "LANG": "C.UTF-8",
    }


@dataclass
class Line:
    """A terminal line with a program at its end.

    Args:
        folder: Where shop and keys lie.
        args: Of the program; the app on that shop where none are given.
    """

    folder: Path
    args: tuple[str, ...] = ()
    sent: str = ""
    before: list[object] = field(default_factory=list)

    def __post_init__(self) -> None:
        command = self.args or ("-m", "runner", "--shop", str(self.folder / "shop"))
        self.child = pexpect.spawn(
            sys.executable,
            list(command),
            env=surroundings(self.folder),
            dimensions=(ROWS, COLUMNS),
            encoding="utf-8",
            codec_errors="replace",
            timeout=WAIT_S,
            cwd=str(self.folder),
        )
        self.before = termios.tcgetattr(self.child.child_fd)
        self.screen = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.Stream(self.screen)

    def look(self, wait_s: float = 0.05) -> str:
        """What stands on the screen now."""
        try:
            text = self.child.read_nonblocking(1 << 16, wait_s)
        except pexpect.TIMEOUT:
            return self.text
        except pexpect.EOF:
            return self.text
        self.sent += text
        self._stream.feed(text)
        return self.text

    @property
    def text(self) -> str:
        """The screen's rows."""
        return "\n".join(row.rstrip() for row in self.screen.display)

    def sees(self, *words: str) -> str:
        """Wait until all these words stand on the screen."""
        return self.until(lambda: all(word in self.look() for word in words), f"{words} came")

    def until(self, true: Callable[[], bool], what: str) -> str:
        """Wait for something to be so."""
        end = time.monotonic() + WAIT_S
        while not true():
            assert time.monotonic() < end, f"never {what}:\n{self.text}"
        return self.text

    def press(self, keys: str) -> None:
        """Send bytes as a keyboard does."""
        self.child.send(keys)

    def resize(self, columns: int, rows: int) -> None:
        """Another size, told as a window manager tells it."""
        self.screen.resize(rows, columns)
        self.child.setwinsize(rows, columns)

    def foot_says(self, word: str) -> None:
        """Wait until a word stands in the last row."""
        self.until(lambda: word in self.look().split("\n")[-1], f"{word} came at the foot")

    def signal(self, number: signal.Signals) -> None:
        """Send the program a signal."""
        self.child.kill(number)

    def ends(self) -> int:
        """Wait for the program's end; its exit status, below zero where a signal killed it."""
        self.until(self._gone, "it ended")
        before = -1
        while len(self.sent) > before:
            before = len(self.sent)
            self.look()
        status = self.child.exitstatus
        return -int(self.child.signalstatus) if status is None else int(status)

    def quits(self) -> None:
        """Leave by q; fails where it does not end with 0, or leaves the line otherwise than it was."""
        self.press("q")
        assert self.ends() == 0
        assert self.sane()

    def _gone(self) -> bool:
        self.look()
        return not self.child.isalive()

    def close(self) -> None:
        """Let go of the line, and end a program that still hangs on it."""
        self.child.close(force=True)

    def sane(self) -> bool:
        """Whether the cursor is shown, the alternate screen is left, and the line is as it was before."""
        shown = self.sent.rfind(CURSOR_ON) > self.sent.rfind("\x1b[?25l")
        left = self.sent.rfind(ALTERNATE_OFF) > self.sent.rfind("\x1b[?1049h")
        return shown and left and self.settings() == self.before

    def settings(self) -> list[object]:
        """The line's settings: echo, signals and all."""
        return termios.tcgetattr(self.child.child_fd)
