"""A clock for practice: it hurries through long waits and runs as it is where hands have something to do.

Owns how fast. The moment it tells is one that nobody lived through: wall time of the practice's begin plus
what has passed on it, in a boot of its own. Where real time comes from is handed in.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Self

from runner.batch.moment import Moment

EASE_S = 8.0
"""The clock hurries by the time left over this: a wait of 40 min takes about a minute (invented)."""

MOST = 120.0
"""No faster than this, or a tick would jump over a fault."""


def pace(left_s: float | None) -> float:
    """How many seconds pass in one, with so much time left; as they are where no time is waited for."""
    return 1.0 if left_s is None else max(1.0, min(MOST, left_s / EASE_S))


class PracticeClock:
    """Tells a practice walk's moment.

    Args:
        real: Tells real moments, of which only the uptime is used.
        start: The moment that the practice begins, or began, at.
        passed_ms: How far on it is, where it is taken up again.

    Attributes:
        pace: How many of its seconds pass in a real one, from the next look on.
    """

    def __init__(self, real: Callable[[], Moment], start: Moment, passed_ms: int = 0) -> None:
        self._real, self._start = real, start
        self._seen_ms = real().up_ms
        self._passed_ms = float(passed_ms)
        self.pace = 1.0

    @classmethod
    def on_from(cls, real: Callable[[], Moment], last: Moment) -> Self:
        """The clock of a practice that is taken up again, at the last moment that it told."""
        return cls(real, last._replace(at_ms=last.at_ms - last.up_ms), last.up_ms)

    def now(self) -> Moment:
        """The moment; never earlier than the one told before."""
        up_ms = self._real().up_ms
        self._passed_ms += max(0, up_ms - self._seen_ms) * self.pace
        self._seen_ms = up_ms
        passed = round(self._passed_ms)
        return Moment(self._start.at_ms + passed, "rehearsal", passed)
