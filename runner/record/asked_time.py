"""A day or a time that somebody asks records by.

Owns how it is written: a day is one of UTC, as the records' own times are; a time names its zone.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from runner.batch.moment import rfc3339
from runner.faults import InputFault, fault
from runner.text import shown

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def asked_time(text: str, place: str | None = None, *, day_after: bool = False) -> str:
    """RFC 3339 in UTC of what was written.

    Args:
        text: A day, or a time with its zone.
        place: What the fault calls it: an option, a field.
        day_after: Whether a day stands for its end, which is the begin of the next.

    Raises:
        InputFault: It is no time.
    """
    try:
        day = date.fromisoformat(text) + timedelta(days=int(day_after))
        at = datetime(day.year, day.month, day.day, tzinfo=UTC)
    except (ValueError, OverflowError):
        at = _with_zone(text, place)
    try:
        return rfc3339((at - _EPOCH) // timedelta(milliseconds=1))
    except (ValueError, OverflowError) as error:
        raise _no_time(text, place) from error


def _with_zone(text: str, place: str | None) -> datetime:
    try:
        at = datetime.fromisoformat(text)
    except ValueError as error:
        raise _no_time(text, place) from error
    if at.tzinfo is None:
        raise _no_time(text, place)
    return at


def _no_time(text: str, place: str | None) -> InputFault:
    remedy = "write a day (UTC), 2026-03-01, or a time with its zone, 2026-03-01T08:00:00Z"
    return fault(f"{shown(text, 60)!r} is no time", remedy, place)
