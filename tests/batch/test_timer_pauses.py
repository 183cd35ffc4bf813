"""Interruptions, steps that go by the clock, and what restarts and clock settings do to a timer."""

from __future__ import annotations

import pytest

from runner.batch import events as ev
from runner.batch import intents as do
from runner.batch.moment import Moment
from runner.batch.terms import Where
from runner.batch.timer import Progress, progress
from support.batches import STEPS, Walker, later


def pause(walker: Walker, seconds: float, where: Where = Where.IN_TANK) -> None:
    """Interrupt the step under way for so long."""
    walker.do(do.Interrupt(where))
    walker.wait(seconds).do(do.Resume())


def set_clock(walker: Walker, by_s: float) -> None:
    """Somebody sets the wall clock."""
    walker.now = walker.now._replace(at_ms=walker.now.at_ms + round(by_s * 1000))


def reboot(walker: Walker, off_s: float) -> None:
    """The machine is off for so long and starts again."""
    walker.now = Moment(walker.now.at_ms + round(off_s * 1000), "boot-b", 20_000)


@pytest.mark.parametrize("where", list(Where))
def test_no_charge_flows_in_a_pause(where: Where) -> None:
    """Five minutes of interruption put the lift-out five minutes off, wherever the rack was."""
    walker = Walker().to_nickel().wait(600)
    pause(walker, 300, where)
    done = walker.wait(300).progress()
    assert (done.elapsed_s, done.counted_s) == (1200, 900)
    assert done.charge_ah == pytest.approx(10)
    assert done.left_s == pytest.approx(900)


def test_while_paused_the_time_left_stands_still() -> None:
    """During the pause itself nothing is counted."""
    walker = Walker().to_nickel().wait(600)
    walker.do(do.Interrupt(Where.IN_TANK))
    assert walker.progress().left_s == pytest.approx(1200)
    assert walker.wait(500).progress().left_s == pytest.approx(1200)


def test_a_pause_takes_nothing_from_readings_before_it() -> None:
    """40 A at entry and 20 A at 5 min are 2.5 A·h by then, still after a later pause of 10 min."""
    walker = Walker().to_nickel()
    walker.do(do.ReadCurrent(40))
    walker.wait(300).do(do.ReadCurrent(20))
    walker.wait(60)
    before = walker.progress().charge_ah
    pause(walker, 600)
    assert before == pytest.approx(2.5 + 20 * 60 / 3600)
    assert walker.progress().charge_ah == pytest.approx(before)


def test_a_count_before_a_pause_keeps_its_time() -> None:
    """A count at 10 min stands for ten minutes, whatever pause follows it."""
    walker = Walker().to_nickel().wait(600)
    walker.do(do.ReadCharge(5))
    pause(walker, 600)
    done = walker.progress()
    assert done.charge_ah == pytest.approx(5)
    assert done.left_s == pytest.approx(1800)


def test_after_a_pause_the_first_reading_holds_back_to_its_end_only() -> None:
    """40 A for 5 min before a pause, 20 A read 6 min after it: 3⅓ and 2 A·h."""
    walker = Walker().to_nickel()
    walker.do(do.ReadCurrent(40))
    walker.wait(300)
    pause(walker, 120)
    assert walker.wait(360).progress().charge_ah == pytest.approx(40 * 660 / 3600), "till then 40 A go on"
    walker.do(do.ReadCurrent(20))
    assert walker.progress().charge_ah == pytest.approx(40 * 300 / 3600 + 2)


def test_a_dip_goes_on_working_while_the_rack_stays_in_it() -> None:
    """A pause with the rack in a dip stops nothing; with the rack lifted it stops the dip."""
    walker = Walker()
    walker.do(do.Enter())
    pause(walker.wait(5), 10, Where.IN_TANK)
    assert walker.progress().left_s == 15
    pause(walker, 10, Where.LIFTED)
    assert walker.progress().left_s == 15
    assert walker.progress().must_s == 45, "of the dip's 60 s, 15 are gone"


def to_chromium() -> Walker:
    """Walk until the rack hangs in the chromium tank."""
    walker = Walker().to_nickel()
    walker.do(do.ReadCurrent(40))
    walker.wait(1800).do(do.Leave())
    walker.wait(20).do(do.Enter())
    return walker


@pytest.mark.parametrize("amps", [0.0, 80.0, 100.0, 160.0])
def test_a_clock_following_step_does_not_stretch(amps: float) -> None:
    """Low current on chromium means no cover, not slow cover: 4 min stay 4 min, the charge is told."""
    walker = to_chromium()
    walker.do(do.ReadCurrent(amps))
    done = walker.wait(60).progress()
    assert done.left_s == 180
    assert done.must_s == pytest.approx(180 + 24)
    assert done.charge_ah == pytest.approx(amps / 60)
    assert walker.wait(180).progress().due


def test_after_the_lift_the_figures_stand() -> None:
    """A progress asked for an hour after the lift is the one at the lift."""
    walker = Walker().to_nickel()
    walker.wait(600).do(do.ReadCurrent(36))
    walker.wait(1000)
    at_lift = walker.progress()
    walker.do(do.Leave())
    run = walker.state.runs[-1]
    assert progress(STEPS[1], run, later(walker.now, 3600), 0.1) == at_lift
    assert progress(STEPS[1], run, Moment(0, "boot-z", 0), 0.1) == at_lift


def test_a_step_left_in_a_pause_has_its_pause_to_the_lift() -> None:
    """A rack lifted for good out of a pause had its current until the pause began."""
    walker = Walker().to_nickel().wait(600)
    walker.do(do.Interrupt(Where.IN_TANK))
    walker.wait(400).do(do.Leave())
    run = walker.state.runs[-1]
    assert progress(STEPS[1], run, walker.now, 0.1).counted_s == 600
    assert run.pauses[0].ended == run.left


def test_across_a_restart_the_wall_clock_tells_the_time() -> None:
    """Ten minutes, two without power and one after them are 13 min, and it says how that is known."""
    walker = Walker().to_nickel().wait(600)
    assert not walker.progress().by_wall_clock
    reboot(walker, 120)
    done = walker.wait(60).progress()
    assert done.elapsed_s == done.counted_s == 780
    assert done.by_wall_clock
    assert walker.do(do.ReadCurrent(40)) == ["current-read"], "a restart is no step of the clock"
    assert walker.progress().left_s == pytest.approx(1020)
    walker.do(do.Leave())
    assert progress(STEPS[1], walker.state.runs[-1], walker.now, 0.1).by_wall_clock
    walker.wait(10).do(do.Enter())
    assert not walker.progress().by_wall_clock, "the next step began and goes on within one boot"


def test_a_wall_clock_set_back_over_a_restart_gives_no_negative_time() -> None:
    """With the uptime gone and the clock an hour behind, no time is known to have passed."""
    walker = Walker().to_nickel().wait(600)
    reboot(walker, -3600)
    done = walker.progress()
    assert (done.elapsed_s, done.counted_s, done.charge_ah) == (0, 0, 0)


def figures(by_s: float) -> tuple[Progress, float | None, list[str]]:
    """A dwell with readings and a pause, the wall clock set in the middle of it."""
    walker = Walker().to_nickel()
    walker.wait(300).do(do.ReadCurrent(30))
    set_clock(walker, by_s)
    pause(walker.wait(100), 60)
    done = walker.wait(200).progress()
    walker.do(do.Leave())
    walker.wait(10).do(do.Enter())
    return done, walker.state.runs[-1].out_s, [event.kind for event, _ in walker.events]


@pytest.mark.parametrize("by_s", [1.9, -1.9, 2.0, 2.1, -2.1, -3600.0, 86_400.0])
def test_setting_the_clock_changes_no_duration(by_s: float) -> None:
    """Within one boot durations come from uptime; a step of more than 2 s is noted, once."""
    done, out_s, kinds = figures(by_s)
    assert (done, out_s) == figures(0)[:2]
    assert kinds.count("clock-stepped") == (abs(by_s) > 2)


def test_a_step_of_the_clock_is_noted_before_what_came_with_it() -> None:
    """The event says by how much, and the state keeps it."""
    walker = Walker().to_nickel().wait(60)
    set_clock(walker, -90)
    assert walker.do(do.ReadCurrent(40)) == ["clock-stepped", "current-read"]
    noted = walker.events[-2][0]
    assert isinstance(noted, ev.ClockStepped)
    assert noted.by_s == -90
    assert list(walker.state.clock_steps_s) == [-90]
    assert walker.departures() == []
