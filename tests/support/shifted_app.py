"""The real app on a shop's folder with a clock that a test moves: run as a program of its own.

    python shifted_app.py SHOP CLOCK

CLOCK is a file that holds how many seconds the shop's time is ahead of the machine's.
"""

from __future__ import annotations

import sys
from pathlib import Path

from runner.batch.moment import Moment
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.moment import SystemClock
from runner.screens.app import TankwalkApp


class ShiftedClock:
    """The machine's time, moved on by what a file says."""

    def __init__(self, file: Path) -> None:
        self._file, self._clock, self._ahead_ms = file, SystemClock(), 0

    def now(self) -> Moment:
        """The present moment of the shop; a file that is just being written tells the one before."""
        told = self._file.read_text(encoding="ascii")
        self._ahead_ms = int(float(told) * 1000) if told.endswith("\n") else self._ahead_ms
        now = self._clock.now()
        return now._replace(at_ms=now.at_ms + self._ahead_ms, up_ms=now.up_ms + self._ahead_ms)


if __name__ == "__main__":
    floor = Floor(Path(sys.argv[1]), Keys())
    try:
        TankwalkApp(floor, ShiftedClock(Path(sys.argv[2])).now).run(mouse=False)
    finally:
        floor.close()
