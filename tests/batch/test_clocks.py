"""The clocks between tanks: when they start, what they run against, when they stop."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from runner.batch import intents as do
from runner.batch.clocks import Clock, current_off, out_of_tank
from runner.batch.terms import Departure, Where
from support.batches import HELD_STEPS, STEPS, Walker
from support.racks import dip, dipped, nickel, plated


def ran(clock: Clock | None, walker: Walker) -> tuple[float, float | None, int]:
    """Seconds on a clock, its limit and whose it is."""
    assert clock is not None
    return clock.ran_s(walker.now), clock.limit_s, clock.step


def test_no_clock_runs_before_the_first_lift() -> None:
    """A rack that waits, or hangs in its first tank, was never out of one and never lost its current."""
    for walker in (Walker(), dip()):
        assert out_of_tank(walker.state) is None
        assert current_off(walker.state) is None


def test_the_way_is_clocked_from_lift_to_entry() -> None:
    """Out of the dip for 20 s of 45; in the next tank the clock is gone and its figure kept."""
    walker = dipped(20)
    assert ran(out_of_tank(walker.state), walker) == (20, 45, 1)
    clock = out_of_tank(walker.state)
    assert clock is not None
    assert clock.over_s(walker.now) == -25
    walker.do(do.Enter())
    assert out_of_tank(walker.state) is None
    assert walker.state.runs[-1].out_s == 20
    assert walker.state.runs[-1].off_s is None, "no current was on before"


def test_a_way_without_a_limit_is_clocked_all_the_same() -> None:
    """Where the procedure sets no limit the clock counts up and is never over."""
    walker = plated(500)
    clock = out_of_tank(walker.state)
    assert clock is not None
    assert (clock.ran_s(walker.now), clock.over_s(walker.now)) == (500, None)


def test_a_rack_lifted_in_a_pause_is_out_of_its_tank() -> None:
    """Lifted, the clock runs from the pause on; held up in its tank, it does not."""
    walker = nickel(60)
    walker.do(do.Interrupt(Where.LIFTED))
    walker.wait(10)
    assert ran(out_of_tank(walker.state), walker) == (10, 30, 2)
    walker.do(do.Resume())
    assert out_of_tank(walker.state) is None
    walker.do(do.Interrupt(Where.IN_TANK))
    assert out_of_tank(walker.state) is None


@pytest.mark.parametrize(("where", "out_s"), [(Where.LIFTED, 60), (Where.IN_TANK, 10)])
def test_a_step_left_out_of_a_pause_is_clocked_from_the_pause(where: Where, out_s: float) -> None:
    """Lifted at 50 s and called left at 60 s, the rack was out all that time; its current was off anyhow."""
    walker = nickel(60)
    walker.do(do.Interrupt(where))
    walker.wait(50).do(do.Leave())
    walker.wait(10)
    assert ran(out_of_tank(walker.state), walker) == (out_s, 30, 2)
    assert ran(current_off(walker.state), walker) == (60, 120, 2)
    walker.do(do.Enter())
    assert (walker.state.runs[-1].out_s, walker.state.runs[-1].off_s) == (out_s, 60)
    assert (Departure.TRANSFER in walker.departures()) is (where is Where.LIFTED)


def test_a_pause_that_ended_leaves_no_trace_on_the_clocks() -> None:
    """With the rack back in and its current on, both clocks start at the lift."""
    walker = nickel(60)
    walker.do(do.Interrupt(Where.LIFTED))
    walker.wait(20).do(do.Resume())
    walker.wait(1740).do(do.Leave())
    walker.wait(5)
    assert ran(out_of_tank(walker.state), walker) == (5, 30, 2)
    assert ran(current_off(walker.state), walker) == (5, 120, 2)


def test_the_current_off_clock_runs_through_rinses() -> None:
    """Nickel passivates under rinse water too: from its lift to the chromium, 20 + 20 + 10 s."""
    walker = Walker(steps=HELD_STEPS)
    while not (walker.state.run and walker.state.run.step == 2 and walker.state.run.left):
        walker.follow()
    walker.wait(20).do(do.Enter())
    walker.wait(20)
    assert ran(current_off(walker.state), walker) == (40, 120, 2)
    assert out_of_tank(walker.state) is None
    assert walker.state.runs[-1].off_s is None, "a rinse needs no current"
    walker.do(do.Leave())
    walker.wait(10)
    assert ran(out_of_tank(walker.state), walker) == (10, 30, 3)
    walker.do(do.Enter())
    assert current_off(walker.state) is None
    assert [walker.state.runs[-1].out_s, walker.state.runs[-1].off_s] == [10, 50]


def test_the_current_is_off_from_the_start_of_a_pause() -> None:
    """In the tank or out of it, a paused step has no current; resumed, it has."""
    walker = nickel(60)
    walker.do(do.Interrupt(Where.IN_TANK))
    walker.wait(15)
    assert ran(current_off(walker.state), walker) == (15, 120, 2)
    walker.do(do.Resume())
    assert current_off(walker.state) is None


def test_hand_work_starts_no_clock_of_its_own() -> None:
    """From racking, with no tank and no limit, a rack may take its time."""
    walker = Walker(steps=(replace(STEPS[3], number=1, sign=None), replace(STEPS[0], number=2)))
    walker.do(do.Enter())
    walker.do(do.Leave())
    assert out_of_tank(walker.state) is None
    walker.wait(9999).do(do.Enter())
    assert walker.state.runs[-1].out_s is None


def test_an_end_stops_both_clocks() -> None:
    """A batch that was abandoned has no rack on its way."""
    walker = plated(10)
    walker.do(do.Abandon("dropped"))
    assert out_of_tank(walker.state) is None
    assert current_off(walker.state) is None
