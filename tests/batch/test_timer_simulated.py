"""The timer against a naive simulation that steps through every second of a run and adds up.

The simulation knows the convention of reading meters only in its plainest form: a list of the current in
each second, filled in by hand as the docstrings say.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from runner.batch import intents as do
from runner.batch.terms import Where
from support.batches import STEPS, Walker

AREA_DM2 = 10.0
PLANNED_A = 40.0
NICKEL = replace(
    STEPS[1],
    number=1,
    dwell_s=7200.0,
    mean_thickness_um=94.0,
    efficiency=((2.0, 0.90), (6.0, 0.98)),
    confirm=(),
    checks=(),
)


@dataclass
class Simulated:
    """Current in each second that it was on, in amps of this rack, as (at its beginning, at its end)."""

    seconds: list[tuple[float, float]] = field(default_factory=list)
    filled: int = 0
    last_a: float = PLANNED_A
    read: bool = False
    count_at: int = 0
    count_ah: float = 0.0
    broken_at: list[int] = field(default_factory=list)
    readings: list[tuple[int, float]] = field(default_factory=list)

    def run(self, seconds: int) -> None:
        """Current on for so long; what it was is not known yet."""
        self.seconds += [(self.last_a, self.last_a)] * seconds

    def read_current(self, amps: float) -> None:
        """Straight from the reading before, or the same all the way since the current came on."""
        self.readings.append((len(self.seconds), amps))
        self.fill(self.filled, [(len(self.seconds), amps)])

    def fill(self, begin: int, readings: list[tuple[int, float]]) -> None:
        """Put the readings into the seconds since the last thing known."""
        for at, amps in readings:
            from_a = self.last_a if self.read else amps
            span = at - begin
            for second in range(begin, at):
                done, next_done = (second - begin) / span, (second + 1 - begin) / span
                rise = amps - from_a
                self.seconds[second] = (from_a + rise * done, from_a + rise * next_done)
            begin, self.last_a, self.read = at, amps, True
        self.filled = begin

    def pause(self) -> None:
        """After a pause nobody knows the current until it is read; the last one counts meanwhile."""
        self.filled, self.read = len(self.seconds), False
        self.broken_at.append(len(self.seconds))

    def read_count(self, ah: float) -> None:
        """All seconds since the last count get the mean of what was counted."""
        begin, end = self.count_at, len(self.seconds)
        if ah >= self.count_ah and end > begin:
            amps = (ah - self.count_ah) * 3600 / (end - begin)
            self.seconds[begin:end] = [(amps, amps)] * (end - begin)
            self.last_a = amps
        self.filled, self.read, self.count_at, self.count_ah = end, False, end, ah

    @property
    def charge_ah(self) -> float:
        return sum(a + b for a, b in self.seconds) / 2 / 3600

    def mean_um(self) -> float:
        return sum(um_per_s((a + b) / 2) for a, b in self.seconds)


def um_per_s(amps: float) -> float:
    """Faraday's law with the efficiency read off the two points, 2 A/dm² at 90 % and 6 at 98 %."""
    density = amps / AREA_DM2
    efficiency = 0.90 + 0.02 * (min(max(density, 2.0), 6.0) - 2.0)
    return 12.292 * density * efficiency / 3600


AMPS = st.integers(20, 60).map(float)  # inside the window of 2 to 6 A/dm²
GAP_S = st.integers(1, 200)
READING = st.tuples(st.just("current"), GAP_S, AMPS, st.booleans())
PAUSE = st.tuples(st.just("pause"), GAP_S, GAP_S.map(float), st.booleans())
COUNT = st.tuples(st.just("count"), GAP_S, st.integers(20, 60).map(float), st.booleans())
Happening = tuple[str, int, float, bool]


def walked(happenings: list[Happening]) -> tuple[Walker, Simulated]:
    """The same run through the batch room and through the simulation.

    The flag says, of a reading, whether another rack of the same area hung in the tank; of a pause,
    whether this rack was lifted.
    """
    walker, simulated, counted_ah = Walker(steps=(NICKEL,)), Simulated(), 0.0
    walker.do(do.Enter())
    for what, gap_s, figure, flag in happenings:
        walker.wait(gap_s)
        simulated.run(gap_s)
        share, area_dm2 = (2, 2 * AREA_DM2) if flag else (1, None)
        if what == "current":
            walker.do(do.ReadCurrent(figure * share, area_dm2))
            simulated.read_current(figure)
        elif what == "count":
            counted_ah += figure * (len(simulated.seconds) - simulated.count_at) / 3600
            walker.do(do.ReadCharge(counted_ah))
            simulated.read_count(counted_ah)
        else:
            walker.do(do.Interrupt(Where.LIFTED if flag else Where.IN_TANK))
            walker.wait(figure).do(do.Resume())
            simulated.pause()
    return walker, simulated


@settings(deadline=None)
@given(st.lists(READING | PAUSE, max_size=12), GAP_S)
def test_readings_and_pauses_integrate_as_second_by_second(happenings: list[Happening], rest_s: int) -> None:
    """Charge, thickness and counted time are those of adding up every second."""
    walker, simulated = walked(happenings)
    walker.wait(rest_s)
    simulated.run(rest_s)
    done = walker.progress()
    assert done.counted_s == len(simulated.seconds)
    assert done.charge_ah == pytest.approx(simulated.charge_ah)
    assert done.mean_um == pytest.approx(simulated.mean_um(), rel=1e-3)


@settings(deadline=None)
@given(st.lists(READING | PAUSE | COUNT, max_size=12), GAP_S)
def test_counts_replace_what_readings_told(happenings: list[Happening], rest_s: int) -> None:
    """With ampere-hour counts between the readings the charge is still that of every second."""
    walker, simulated = walked(happenings)
    walker.wait(rest_s)
    simulated.run(rest_s)
    assert walker.progress().charge_ah == pytest.approx(simulated.charge_ah)


@settings(deadline=None)
@given(st.lists(READING | PAUSE, max_size=8))
def test_the_lift_out_is_when_the_simulation_has_its_thickness(happenings: list[Happening]) -> None:
    """Seconds at the last current, added until the mean is reached, are the seconds left."""
    walker, simulated = walked(happenings)
    left_s = walker.progress().left_s
    assert left_s is not None
    missing_um, seconds = 94.0 - simulated.mean_um(), 0
    while missing_um > 0:
        missing_um -= um_per_s(simulated.last_a)
        seconds += 1
    assert left_s == pytest.approx(seconds, abs=1.0 + 1e-3 * len(simulated.seconds))


@settings(deadline=None)
@given(st.lists(READING | PAUSE | COUNT, max_size=8), st.integers(1, 4000), st.integers(1, 4000))
def test_waiting_never_takes_anything_back(happenings: list[Happening], first_s: int, then_s: int) -> None:
    """While nothing is read, charge and thickness rise and the time left falls by the time that passed."""
    walker, _ = walked(happenings)
    before = walker.wait(first_s).progress()
    after = walker.wait(then_s).progress()
    assert before.charge_ah is not None and after.charge_ah is not None
    assert before.left_s is not None and after.left_s is not None
    assert after.charge_ah > before.charge_ah
    assert before.left_s - after.left_s == pytest.approx(then_s)
