"""The practice clock: it hurries where somebody only waits, and never runs backwards."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.batch.moment import Moment, clock_step_s
from runner.record.practice_clock import EASE_S, MOST, PracticeClock, pace

START = Moment(1_780_000_000_000, "boot-a", 5_000_000)


@pytest.mark.parametrize(
    ("left_s", "expected"),
    [(None, 1.0), (0.0, 1.0), (-30.0, 1.0), (EASE_S, 1.0), (10 * EASE_S, 10.0), (1e9, MOST)],
)
def test_the_pace_goes_by_the_time_left(left_s: float | None, expected: float) -> None:
    """As it is where hands have something to do, and never faster than its limit."""
    assert pace(left_s) == expected


def test_a_long_dwell_takes_a_minute_or_two() -> None:
    """Forty minutes, looked at twice a second, are over within two."""
    left_s, real_s = 2400.0, 0.0
    while left_s > 0:
        left_s -= 0.5 * pace(left_s)
        real_s += 0.5
    assert 30 < real_s < 120


@given(st.lists(st.tuples(st.integers(0, 10_000), st.floats(1, MOST)), min_size=1, max_size=30))
def test_time_goes_on_only_and_the_wall_with_it(looks: list[tuple[int, float]]) -> None:
    """Whatever the pace, moments do not go back, and the wall clock never parts from the uptime."""
    real = [START]
    clock = PracticeClock(lambda: real[-1], START)
    told = [clock.now()]
    for passed_ms, speed in looks:
        clock.pace = speed
        real.append(real[-1]._replace(up_ms=real[-1].up_ms + passed_ms))
        told.append(clock.now())
    assert all(first.up_ms <= second.up_ms for first, second in itertools.pairwise(told))
    assert all(clock_step_s(first, second) == 0 for first, second in itertools.pairwise(told))


def test_it_passes_so_many_seconds_in_one() -> None:
    """At a pace of sixty a second is a minute."""
    real = [START]
    clock = PracticeClock(lambda: real[-1], START)
    clock.pace = 60.0
    real.append(START._replace(up_ms=START.up_ms + 1000))
    assert clock.now().up_ms == 60_000
