"""Alarms: only what somebody must act on, one ordered list, quiet for a while and never for long."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace

from runner.batch import alarms
from runner.batch import events as ev
from runner.batch import intents as do
from runner.batch.alarms import MEANINGS, SHELVE_DANGER_S, SHELVE_MOST_S, Alarm, calls
from runner.batch.kinds import SIGNED_KINDS, read_event
from runner.batch.state import BatchState
from runner.batch.terms import Where
from runner.procedure.sheet import PlannedStep
from support.batches import STEPS, Walker, later
from support.racks import dip, dipped, nickel

PAGE = Path(alarms.__file__).with_name("ALARMS.md")


def stands(walker: Walker) -> list[tuple[Alarm, bool]]:
    """The alarms of one rack, and whether each sounds."""
    return [(call.alarm, call.rings) for call in calls({"a": walker.state}, walker.now)]


@pytest.mark.parametrize(
    ("walker", "expected"),
    [
        (Walker, []),
        (lambda: dip(29), []),
        (lambda: dip(30), [(Alarm.TIME_UP, True)]),
        (lambda: dip(61), [(Alarm.OVERSTAYED, True)]),
        (lambda: dipped(45), []),
        (lambda: dipped(46), [(Alarm.OUT_TOO_LONG, True)]),
        (lambda: nickel(1799), []),
    ],
)
def test_an_alarm_stands_only_where_a_hand_must_act(
    walker: Callable[[], Walker], expected: list[tuple[Alarm, bool]]
) -> None:
    """Waiting, dripping inside the limit and plating inside the window call for nobody."""
    assert stands(walker()) == expected


def test_a_meter_outside_its_window_calls_until_it_is_read_inside_again() -> None:
    """10 A on 10 dm² is under 2 A/dm²; acknowledged it is quiet, read wrong again it sounds again."""
    walker = nickel(60)
    walker.do(do.ReadCurrent(10.0))
    assert stands(walker) == [(Alarm.OUTSIDE, True)]
    walker.do(do.Acknowledge())
    assert stands(walker) == [(Alarm.OUTSIDE, False)]
    walker.wait(60).do(do.ReadCurrent(11.0))
    assert stands(walker) == [(Alarm.OUTSIDE, True)]
    walker.wait(60).do(do.ReadCurrent(40.0))
    assert stands(walker) == []


STRIPPED = replace(
    STEPS[1], name="Strip nickel", does="strip", metal=None, polarity="anodic", follows="clock"
)


@pytest.mark.parametrize(
    ("steps", "expected"),
    [
        (STEPS, [(Alarm.CURRENT_OFF, True)]),
        ((STEPS[0], STRIPPED, STEPS[2]), [(Alarm.CURRENT_OFF, True)]),
        ((STEPS[0], STRIPPED, replace(STEPS[3], number=3)), []),
        ((*STEPS[:2], replace(STEPS[0], number=3, checks=()), replace(STEPS[3], number=4)), []),
    ],
    ids=["chromium to come", "stripped, to be plated", "stripped for good", "plated last"],
)
def test_current_off_too_long_calls_only_where_metal_is_still_to_be_laid_on(
    steps: tuple[PlannedStep, ...], expected: list[tuple[Alarm, bool]]
) -> None:
    """Passive nickel peels under the next layer (common practice): where none comes, nothing is lost."""
    quick = tuple(replace(step, next_within_s=None, current_within_s=120.0) for step in steps)
    walker = Walker(steps=quick).to_nickel().wait(1800)
    walker.do(do.Leave())
    assert stands(walker.wait(120)) == []
    assert stands(walker.wait(1)) == expected


def test_a_current_that_stays_off_in_the_last_deposit_calls_too() -> None:
    """Nothing is plated after it, but it is plated on itself when the current comes back."""
    walker = Walker(steps=(STEPS[0], STEPS[1])).to_nickel().wait(60)
    walker.do(do.Interrupt(Where.IN_TANK))
    assert stands(walker.wait(121)) == [(Alarm.CURRENT_OFF, True)]


def test_a_rack_that_was_lifted_in_a_pause_is_not_called_out_of_its_tank() -> None:
    """Its time was up when it was lifted; there is nothing left in the tank to lift."""
    walker = dip(31)
    walker.do(do.Interrupt(Where.LIFTED))
    assert stands(walker) == []


def test_an_old_reading_stands_in_the_list_and_does_not_sound() -> None:
    """The shop's own limit decides how old is old; nothing hurts yet, so it is low and silent."""
    walker = nickel()
    first = walker.state.opened
    walker.state = replace(walker.state, opened=replace(first, plan=replace(first.plan, read_again_s=900.0)))
    assert stands(walker.wait(900)) == []
    assert stands(walker.wait(1)) == [(Alarm.READ_AGAIN, False)]


def test_several_due_at_once_are_one_list_the_worst_and_nearest_first() -> None:
    """Twelve racks give one list: overstayed before time up, less time before more, quiet ones last."""
    at = dip(61)
    states: dict[str, BatchState] = {}
    for number in range(12):
        walker = Walker(now=later(at.now, -30 - 3 * number))
        walker.do(do.Enter())
        states[f"{number:02}"] = walker.state
    quiet = Walker(now=later(at.now, -40))
    quiet.do(do.Enter())
    quiet.wait(35).do(do.Acknowledge())
    states["heard"] = quiet.state
    found = calls(states, at.now)
    assert (found[-1].batch, found[-1].quiet) == ("heard", True)
    assert [call.alarm for call in found if call.batch != "heard"] == [Alarm.OVERSTAYED] + [
        Alarm.TIME_UP
    ] * 11
    left = [call.act_s for call in found if call.rings and call.alarm is Alarm.TIME_UP]
    assert left == sorted(left, key=lambda s: s or 0.0)


def test_an_alarm_on_the_shelf_comes_back_at_its_time_and_as_the_worse_one() -> None:
    """Put off for twenty seconds it sounds again; overstaying is another alarm and sounds at once."""
    walker = dip(30)
    assert walker.do(do.Shelve("time is up", 20.0)) == [ev.AlarmShelved.kind]
    assert stands(walker) == [(Alarm.TIME_UP, False)]
    assert stands(walker.wait(19.9)) == [(Alarm.TIME_UP, False)]
    assert stands(walker.wait(0.1)) == [(Alarm.TIME_UP, True)]
    walker.do(do.Shelve("time is up", 1000.0))
    assert stands(walker.wait(11)) == [(Alarm.OVERSTAYED, True)]
    (first, _) = walker.state.runs[-1].quieted
    assert (first.who, first.for_s) == ("olive", 20.0)


@pytest.mark.parametrize(
    ("signal", "alarm", "most_s"),
    [
        (None, "time is up", SHELVE_MOST_S),
        ("Warning", "time is up", SHELVE_MOST_S),
        ("Danger", "time is up", SHELVE_DANGER_S),
        (None, "overstayed", SHELVE_DANGER_S),
    ],
)
def test_what_can_hurt_or_spoil_is_put_off_for_minutes_only(
    signal: str | None, alarm: str, most_s: float
) -> None:
    """A tank marked Danger, or a rack past its latest time, comes back within two minutes."""
    walker = Walker(steps=(replace(STEPS[0], signal=signal),))
    walker.do(do.Enter())
    assert "min at most" in walker.refusal(do.Shelve(alarm, most_s + 1))
    walker.do(do.Shelve(alarm, most_s))


def test_an_alarm_is_put_off_only_with_a_key() -> None:
    """Who did it must be provable: without an unlocked key it is refused, and the line is a signed kind."""
    assert "signature" in dip(30).refusal(do.Shelve("time is up", 20.0), unlocked=False)
    assert ev.AlarmShelved.kind in SIGNED_KINDS
    assert dip(30).do(do.Acknowledge(), unlocked=False) == [ev.AlarmAcknowledged.kind]


def test_an_acknowledgement_of_an_earlier_journal_is_of_the_time_being_up() -> None:
    """A line without the alarm's name reads as before."""
    assert read_event("alarm-acknowledged", {"step": 1}) == ev.AlarmAcknowledged(1, "time is up")


def test_the_table_of_alarms_is_printed_from_the_code() -> None:
    """Every alarm with cause, consequence, action and time to act; priorities are few, high the fewest."""
    assert alarms.table() in PAGE.read_text(encoding="utf-8")
    assert set(MEANINGS) == set(Alarm)
    for meaning in MEANINGS.values():
        assert all((meaning.cause, meaning.consequence, meaning.action, meaning.act_within))
    assert [meaning.priority for meaning in MEANINGS.values()].count("high") == 1
