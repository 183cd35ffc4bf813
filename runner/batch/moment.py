"""When something happened, as it is handed in and written down.

Owns the three figures that tell a time and the sums on them. Must not ask what time it is: a rehearsal
runs the same code under a fast clock.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from functools import lru_cache
from typing import NamedTuple

CLOCK_STEP_S = 2.0
"""How far the wall clock may part from the uptime between two events before it is noted."""

_EPOCH = date(1970, 1, 1)
_DAY_MS = 24 * 60 * 60 * 1000
_FORM = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})T([01][0-9]|2[0-3]):([0-5][0-9]):([0-5][0-9])\.([0-9]{3})Z")


class Moment(NamedTuple):
    """One moment on one machine.

    Attributes:
        at_ms: UTC wall time, milliseconds since 1970-01-01; whoever sets the clock changes it.
        boot: Identity of this boot of the machine; `up_ms` counts only within one.
        up_ms: Milliseconds since that boot, sleep included where the system tells.
    """

    at_ms: int
    boot: str
    up_ms: int


def rfc3339(at_ms: int) -> str:
    """Wall time as ``YYYY-MM-DDTHH:MM:SS.mmmZ``: RFC 3339 in UTC, of one length, so that text sorts as time.

    Raises:
        ValueError: The year has not four digits.
    """
    day, ms = divmod(at_ms, _DAY_MS)
    seconds, ms = divmod(ms, 1000)
    minutes, seconds = divmod(seconds, 60)
    return f"{_date(day)}T{minutes // 60:02}:{minutes % 60:02}:{seconds:02}.{ms:03}Z"


def from_rfc3339(text: str) -> int:
    """Milliseconds since 1970-01-01 of a time in exactly the form that `rfc3339` writes.

    Every other form that RFC 3339 allows is refused: one moment then has one spelling, and a line that was
    written differently cannot dump to the same bytes. A leap second (``:60``) has no place in a count of
    milliseconds since 1970 and is refused too.

    Raises:
        ValueError: Another form, or no such day or time.
    """
    found = _FORM.fullmatch(text)
    if found is None:
        raise ValueError(f"{text!r} is not of the form YYYY-MM-DDTHH:MM:SS.mmmZ")
    day, hours, minutes, seconds, ms = found.groups()
    return _midnight_ms(day) + ((int(hours) * 60 + int(minutes)) * 60 + int(seconds)) * 1000 + int(ms)


# Most of a journal is written on one day or two, so the calendar is asked once for each.
@lru_cache(maxsize=64)
def _date(days: int) -> str:
    try:
        return (_EPOCH + timedelta(days=days)).isoformat()
    except OverflowError as error:
        raise ValueError(f"{days} days from 1970-01-01 lie outside the years 1 to 9999") from error


@lru_cache(maxsize=64)
def _midnight_ms(text: str) -> int:
    return (date.fromisoformat(text) - _EPOCH).days * _DAY_MS


def same_boot(first: Moment, second: Moment) -> bool:
    """Whether the uptimes of two moments count from the same start, so that no clock setting touches them."""
    return first.boot == second.boot


def clock_step_s(first: Moment, second: Moment) -> float:
    """Seconds by which the wall clock parted from the uptime; 0 across boots, where nothing can tell."""
    if not same_boot(first, second):
        return 0.0
    return ((second.at_ms - first.at_ms) - (second.up_ms - first.up_ms)) / 1000


def elapsed_s(first: Moment, second: Moment) -> float:
    """Seconds from the first moment to the second, never below 0.

    Within one boot they come from uptime; across boots only wall time is left (`same_boot` tells which, and
    the record says it), and a wall clock set back between the two gives 0.
    """
    if same_boot(first, second):
        return max(0, second.up_ms - first.up_ms) / 1000
    return max(0, second.at_ms - first.at_ms) / 1000
