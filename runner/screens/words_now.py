"""The line of the walk that cannot be missed: what a hand must do now, and how loud that is said.

Owns the order: what calls for a hand goes before what is next, and of several calls the lift goes first,
since it is all that a hand can do at once. Must not decide what is an alarm, nor know a screen library.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from runner.batch.alarms import MEANINGS, Alarm, of_rack
from runner.batch.clocks import current_off, out_of_tank, plates_on, time_goes_on
from runner.batch.moment import Moment
from runner.batch.questions import Action
from runner.batch.state import BatchState, Phase
from runner.text import shown
from runner.units import write_clock

Loudness = Literal["", "up", "past"]


def now_words(
    state: BatchState, action: Action, now: Moment, caps: Mapping[str, str]
) -> tuple[str, Loudness]:
    """The next action in words, and how loud it is said.

    Args:
        state: The batch.
        action: What is to be done next.
        now: The moment.
        caps: The key of each action, by ``screen.action``.
    """
    standing = {call.alarm for call in of_rack(state, "", now)}
    if Alarm.OVERSTAYED in standing:
        return "▲ TIME IS PAST: LIFT OUT", "past"
    if Alarm.TIME_UP in standing:
        return "▲ TIME IS UP: LIFT OUT", "up"
    out, off = out_of_tank(state), current_off(state)
    for alarm, clock in ((Alarm.OUT_TOO_LONG, out), (Alarm.CURRENT_OFF, off)):
        if alarm in standing and clock is not None:
            rescue = (
                "No hurry now: re-activate before plating on"
                if plates_on(state)
                else "It may have dried: look before it goes on"
            )
            return f"▲ {alarm.upper()} by {write_clock(clock.over_s(now) or 0)}. {rescue}", "past"
    if Alarm.OUTSIDE in standing:
        return f"▲ {Alarm.OUTSIDE.upper()}: {MEANINGS[Alarm.OUTSIDE].action}", "up"
    if state.phase is Phase.PAUSED and state.run:
        return f"‖ PAUSED: {_paused(state)}", "up"
    return _todo(state, action, caps), ""


def _paused(state: BatchState) -> str:
    if state.step is not None and state.step.tank is None:
        return "the work is interrupted"
    if time_goes_on(state):
        return "the rack is in the tank, and its time goes on"
    return f"the rack is {state.runs[-1].pauses[-1].where}"


def _todo(state: BatchState, action: Action, caps: Mapping[str, str]) -> str:
    upcoming = state.upcoming
    match action.name:
        case "answer":
            return (
                "▶ LOOK AND ANSWER"
                if action.question and action.question.asked.choices
                else "▶ READ AND ANSWER"
            )
        case "confirm":
            return f"▶ READ THE CAUTIONS before step {action.step}"
        case "wait":
            return f"· LEAVE IT IN: {write_clock((action.wait_s or 0) + 0.999)} left"
        case "lift":
            return f"▶ WORK, then {caps['walk.go']} when it is done"
        case "enter" if upcoming is not None and upcoming.tank:
            return f"▶ PUT IT INTO {shown(upcoming.tank_title or upcoming.tank, 30).upper()}"
        case "enter":
            return "▶ BEGIN"
        case "override":
            return "! THE ROUTE IS BARRED by a rule of the trade: a chargehand decides"
        case "explain":
            return f"! SAY WHY: deviation {action.deviation.number if action.deviation else ''}"
        case "settle":
            return f"! SETTLE deviation {action.deviation.number if action.deviation else ''}"
        case "sign":
            return "▶ SIGN, with dry hands"
        case "release":
            return "▶ RELEASE: all steps are walked"
        case _:
            return f"✓ {str(state.phase).upper()}"
