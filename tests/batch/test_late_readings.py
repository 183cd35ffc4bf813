"""A meter reading noted after the current went off: it is taken, and counts for the step just left."""

from __future__ import annotations

import pytest

from runner.batch import events as ev
from runner.batch import intents as do
from runner.batch.questions import latest_run
from runner.batch.sharing import energised_in_tank
from runner.batch.terms import Departure, Where
from runner.batch.timer import Progress, progress
from support.batches import Walker
from support.racks import dip, nickel


def done(walker: Walker) -> Progress:
    """How far the nickel was at its lift."""
    run, plan = latest_run(walker.state, 2), walker.state.opened.plan
    assert run is not None
    return progress(plan.step(2), run, walker.now, plan.overstay_share)


def test_a_count_noted_at_the_rinse_is_the_whole_of_the_step() -> None:
    """19 A·h typed twenty seconds after the lift are the charge that the step had at its lift."""
    walker = nickel(1800)
    walker.do(do.Leave())
    walker.wait(20).do(do.ReadCharge(19.0))
    assert done(walker).charge_ah == pytest.approx(19.0)
    assert walker.state.runs[-1].readings[-1].moment == walker.state.runs[-1].left
    assert walker.departures() == []


def test_amps_noted_after_the_lift_are_those_at_the_lift() -> None:
    """From 40 A down to 38 A over half an hour is 19.5 A·h (the mean of the two ends, for half an hour)."""
    walker = nickel(1800)
    walker.do(do.Leave())
    walker.wait(60).do(do.ReadCurrent(38.0))
    assert done(walker).charge_ah == pytest.approx(19.5)


@pytest.mark.parametrize("where", list(Where))
def test_a_reading_in_a_pause_tells_of_the_time_before_it(where: Where) -> None:
    """After 600 s at 40 A, 6 A·h on the counter (Faraday's count: 36 A by the clock) stand, pause or no."""
    walker = nickel(600)
    walker.do(do.Interrupt(where))
    walker.wait(300).do(do.ReadCharge(6.0))
    walker.do(do.Resume())
    assert walker.progress().charge_ah == pytest.approx(6.0)


def test_a_late_reading_is_judged_as_one_in_time() -> None:
    """10 A on 10 dm² is under the window whether it is typed in the tank or beside it."""
    walker = nickel(1800)
    walker.do(do.Leave())
    assert walker.wait(5).do(do.ReadCurrent(10.0)) == [ev.CurrentRead.kind, ev.DeviationRaised.kind]
    assert walker.departures() == [Departure.OUTSIDE]


def test_a_late_reading_has_its_share_of_what_is_in_the_tank() -> None:
    """Just out of a tank in which another rack hangs, the meter is still shared by area: 10 and 10 dm²."""
    lifted, other = nickel(1800), nickel(100)
    lifted.do(do.Leave())
    assert energised_in_tank({"a": lifted.state, "b": other.state}, "a") == 20.0
    assert energised_in_tank({"a": dip().state, "b": other.state}, "a") is None


def test_after_the_next_entry_a_reading_is_the_new_step_s() -> None:
    """In the chromium the meter asked is the chromium's, and the nickel's run keeps what it had."""
    walker = nickel(1800)
    walker.do(do.Leave())
    walker.wait(20).do(do.Enter())
    walker.do(do.ReadCurrent(100.0))
    assert [len(run.readings) for run in walker.state.runs[-2:]] == [1, 1]
