"""The line of the walk that cannot be missed, and the clock below it, where more than one thing calls."""

from __future__ import annotations

from msgspec.structs import replace

from runner.batch import intents as do
from runner.batch.alarms import Alarm, of_rack
from runner.batch.terms import Where
from runner.procedure.sheet import PlannedStep
from runner.screens.walk_big import word_of
from runner.screens.words import Walk, walk
from support.batches import STEPS, Walker
from support.racks import nickel

RINSE = replace(STEPS[0], number=3, name="Rinse", tank="rinse", next_within_s=None, checks=())
RINSED = (STEPS[0], replace(STEPS[1], next_within_s=None), RINSE, replace(STEPS[2], number=4))
"""A rinse of 30 s, a minute at most, between the nickel and the chromium."""

STRIPPED = (
    replace(STEPS[0], number=1),
    replace(
        STEPS[1], name="Strip nickel", polarity="anodic", metal=None, follows="clock", current_within_s=20.0
    ),
    RINSE,
    replace(STEPS[3], number=4),
)


def shown(walker: Walker) -> Walk:
    """The walk of that rack now."""
    return walk(walker.state, walker.now)


def in_rinse(steps: tuple[PlannedStep, ...] = RINSED) -> Walker:
    """A rack just in the rinse, straight from the tank with the current."""
    walker = Walker(steps=steps).to_nickel().wait(1800)
    walker.do(do.Leave())
    walker.do(do.Enter())
    return walker


def test_a_lift_that_is_due_goes_before_a_current_that_has_been_off_too_long() -> None:
    """Both stand in the rinse: a hand can lift now, and re-activate only after that."""
    walker = in_rinse().wait(29)
    assert shown(walker).now.startswith("· LEAVE IT IN")
    slow = replace(STEPS[1], next_within_s=None, current_within_s=20.0)
    walker = in_rinse((STEPS[0], slow, *RINSED[2:])).wait(29)
    assert shown(walker).now == (
        "▲ CURRENT OFF TOO LONG by 0:09. No hurry now: re-activate before plating on"
    )
    assert shown(walker.wait(1)).now == "▲ TIME IS UP: LIFT OUT"
    assert shown(walker.wait(31)).now == "▲ TIME IS PAST: LIFT OUT"
    walker.do(do.Leave())
    assert shown(walker).now.startswith("▲ CURRENT OFF TOO LONG")


def test_a_rack_that_is_plated_no_more_is_not_told_to_be_re_activated() -> None:
    """On a strip route the current is off for good: the walk says what comes next, to the release."""
    walker = in_rinse(STRIPPED).wait(29)
    assert shown(walker).now.startswith("· LEAVE IT IN")
    walker.wait(1).do(do.Leave())
    assert shown(walker.wait(600)).now == "▶ BEGIN"


def test_a_meter_outside_its_window_stands_on_its_own_rack_s_walk_until_it_is_read_inside() -> None:
    """10 A on 10 dm² is under 2 A/dm²: sign, word and what to do, heard or not; the lift goes first."""
    walker = nickel(60)
    walker.do(do.ReadCurrent(10.0))
    outside = "▲ METER OUTSIDE ITS WINDOW: set the current, look at contacts, read again"
    assert (shown(walker).now, shown(walker).alarm) == (outside, "up")
    assert word_of(shown(walker)) == "outside"
    walker.do(do.Acknowledge())
    assert shown(walker).now == outside
    walker.wait(30).do(do.ReadCurrent(40.0))
    assert "OUTSIDE" not in shown(walker).now
    walker.do(do.ReadCurrent(10.0))
    walker.wait(7200)
    assert {call.alarm for call in of_rack(walker.state, "", walker.now)} >= {Alarm.OVERSTAYED, Alarm.OUTSIDE}
    assert shown(walker).now == "▲ TIME IS PAST: LIFT OUT"


def test_a_meter_that_nobody_read_is_asked_for_on_the_walk() -> None:
    """Older than the shop allows, or none at all: both say by which key it is read."""
    walker = Walker().to_nickel()
    first = walker.state.opened
    walker.state = replace(walker.state, opened=replace(first, plan=replace(first.plan, read_again_s=900.0)))
    assert "read" not in dict(shown(walker.wait(900)).figures.rows)
    assert dict(shown(walker.wait(1)).figures.rows)["read"] == "nothing yet  read again: a"
    walker.do(do.ReadCurrent(40.0))
    assert "read again" not in dict(shown(walker).figures.rows)["read"]
    assert dict(shown(walker.wait(901)).figures.rows)["read"].endswith("read again: a")


def test_a_dip_goes_on_through_a_pause_in_its_tank_and_its_clock_is_shown() -> None:
    """No current is on there, so none is off: the acid goes on biting, and the lift goes first when due."""
    walker = Walker()
    walker.do(do.Enter())
    walker.wait(10).do(do.Interrupt(Where.IN_TANK))
    view = shown(walker)
    assert view.now == "‖ PAUSED: the rack is in the tank, and its time goes on"
    assert (view.over, view.face, view.go) == ("lift out in", "0:20", "go on")
    assert "latest" in view.under
    view = shown(walker.wait(21))
    assert (view.now, view.over, view.face) == ("▲ TIME IS UP: LIFT OUT", "over by", "0:01")
    view = shown(walker.wait(30))
    assert (view.now, view.under) == ("▲ TIME IS PAST: LIFT OUT", "past its latest time")


def test_a_pause_that_stops_the_time_shows_no_clock_of_it() -> None:
    """A deposit with its current off waits, in its tank or lifted; lifted, only the way out is counted."""
    walker = nickel(600)
    walker.do(do.Interrupt(Where.IN_TANK))
    view = shown(walker)
    assert (view.now, view.over) == ("‖ PAUSED: the rack is in the tank, current off", "paused")
    assert view.face == ""
    walker = nickel(600)
    walker.do(do.Interrupt(Where.LIFTED))
    view = shown(walker)
    assert (view.now, view.over) == ("‖ PAUSED: the rack is lifted", "out of the tank")
    assert view.go == "back in, go on"
