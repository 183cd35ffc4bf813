"""Durations between moments, and the one spelling of a time."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.batch.moment import Moment, elapsed_s, from_rfc3339, rfc3339, same_boot

FIRST_MS = -62_135_596_800_000  # 0001-01-01, from the proleptic Gregorian calendar
LAST_MS = 253_402_300_799_999  # 9999-12-31T23:59:59.999Z


@given(st.integers(FIRST_MS, LAST_MS))
def test_every_time_reads_back_as_it_was_written(at_ms: int) -> None:
    """Writing and reading a time loses nothing, and the text is 24 characters of ASCII ending in Z."""
    text = rfc3339(at_ms)
    assert from_rfc3339(text) == at_ms
    assert len(text) == 24
    assert text.isascii()
    assert text.endswith("Z")


@given(st.integers(FIRST_MS, LAST_MS), st.integers(FIRST_MS, LAST_MS))
def test_the_text_sorts_as_the_time_does(one: int, other: int) -> None:
    """A list of times sorted as text is sorted by time."""
    assert (rfc3339(one) < rfc3339(other)) == (one < other)


@pytest.mark.parametrize("at_ms", [FIRST_MS - 1, LAST_MS + 1, 10**30])
def test_a_year_without_four_digits_has_no_text(at_ms: int) -> None:
    """RFC 3339 knows four-digit years only."""
    with pytest.raises(ValueError, match=r"9999|year|range"):
        rfc3339(at_ms)


@given(st.integers(FIRST_MS, LAST_MS))
def test_the_standard_library_reads_the_same_moment(at_ms: int) -> None:
    """Python's own reader of ISO 8601 agrees to the millisecond."""
    moment = datetime.fromisoformat(rfc3339(at_ms))
    whole = (moment - datetime(1970, 1, 1, tzinfo=UTC)).total_seconds()
    assert round(whole * 1000) == at_ms


def test_within_one_boot_the_wall_clock_does_not_count() -> None:
    """A clock set back an hour during a dwell leaves the dwell as long as it was."""
    start = Moment(at_ms=7_200_000, boot="a", up_ms=1_000)
    end = Moment(at_ms=3_600_000, boot="a", up_ms=61_500)
    assert same_boot(start, end)
    assert elapsed_s(start, end) == 60.5


def test_across_boots_the_wall_clock_counts() -> None:
    """After a restart only wall time tells how long the power was off."""
    start = Moment(at_ms=1_000, boot="a", up_ms=900_000)
    end = Moment(at_ms=121_000, boot="b", up_ms=5_000)
    assert not same_boot(start, end)
    assert elapsed_s(start, end) == 120


@pytest.mark.parametrize("boot", ["a", "b"])
def test_no_duration_is_below_nothing(boot: str) -> None:
    """Clocks that ran backwards give 0, not a negative time."""
    assert elapsed_s(Moment(9_000, "a", 9_000), Moment(1_000, boot, 1_000)) == 0
