"""Yes or no: what an intent makes happen, or why it cannot.

Two kinds of "no" are kept apart. What would break the order or the record is refused, with its reason
and a remedy. A fact is never refused: it is taken at once, and what is wrong with it becomes a deviation
beside it. Must not look at a clock or a disk: who and when come in the stamp.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from runner.batch import departures
from runner.batch import events as ev
from runner.batch import intents as do
from runner.batch.departures import Found
from runner.batch.evolve import evolve
from runner.batch.moment import Moment
from runner.batch.questions import find_check, within_reach
from runner.batch.state import BatchState
from runner.batch.transitions import LARGEST, objection
from runner.procedure.sheet import PlannedCheck
from runner.shop.rights import Right, may
from runner.text import unfit

CLOCK_STEP_S = 2.0
"""How far the wall clock may part from the uptime between two events before it is noted."""


class Refused(Exception):
    """What was asked would break the order or the record.

    Attributes:
        reason: Why not.
        remedy: What to do instead.
    """

    def __init__(self, reason: str, remedy: str) -> None:
        super().__init__(f"{reason}; {remedy}")
        self.reason = reason
        self.remedy = remedy


def decide(state: BatchState, intent: do.Intent, stamp: do.Stamp) -> tuple[ev.Event, ...]:
    """The events that an intent comes to, each of which may follow the one before.

    Raises:
        Refused: It would break the order or the record.
    """
    if state.phase.ended:
        raise Refused(f"batch {state.opened.batch} is {state.phase}", "open a new batch; this one is closed")
    events = (*_clock_step(state.last, stamp.moment), *_events(state, intent, stamp))
    after = state
    for event in events:
        if reason := objection(after, event):
            raise Refused(reason, _REMEDIES.get(type(intent), "see what the walk asks for next"))
        after = evolve(after, event, stamp.moment, stamp.by.id)
    return events


_REMEDIES: dict[type[do.Intent], str] = {
    do.Enter: "finish and sign the step before it first; redo a step with a reason if it must be repeated",
    do.Confirm: "confirm the cautions that the walk asks for",
    do.Leave: "enter the step first",
    do.Sign: "sign where the step asks for it",
    do.Release: "settle what is open first",
    do.Redo: "lift the rack out first, then name a step that has been walked",
    do.AnswerValue: "go on with the step first if it is paused; answer what is asked",
    do.ReadCurrent: "go on with the step first: while it is paused its current is off",
    do.ReadCharge: "go on with the step first, then read the counter",
    do.Explain: "name a deviation that still has no reason",
    do.Settle: "name a deviation that has its reason and is not settled",
}


def _clock_step(last: Moment, now: Moment) -> Iterator[ev.Event]:
    """A step of the wall clock against the uptime; across boots nothing can tell one from a long stop."""
    if last.boot != now.boot:
        return
    by_s = ((now.at_ms - last.at_ms) - (now.up_ms - last.up_ms)) / 1000
    if abs(by_s) > CLOCK_STEP_S:
        yield ev.ClockStepped(by_s)


def _events(state: BatchState, intent: do.Intent, stamp: do.Stamp) -> Iterable[ev.Event]:
    match intent:
        case do.Take():
            _need(stamp, "walk")
            return (ev.BatchTaken(stamp.by),)
        case do.Confirm():
            ahead = next((step for step in within_reach(state) if step.number == intent.step), None)
            return (ev.CautionsConfirmed(intent.step, ahead.confirm if ahead else ()),)
        case do.Enter():
            if state.upcoming is None:
                raise Refused("every step has been walked", "release the batch, or redo a step with a reason")
            found = departures.at_entry(state, stamp.moment)
            return (ev.StepEntered(state.next_step), *_raised(state, state.next_step, found))
        case do.AnswerValue():
            return _value(state, intent)
        case do.AnswerChoice():
            return _choice(state, intent)
        case do.ReadCurrent():
            return _current(state, intent)
        case do.ReadCharge():
            return _charge(state, intent, stamp.moment)
        case do.Interrupt():
            step = _under_way(state)
            found = departures.at_interruption(state.opened.plan.step(step), intent.where)
            return (ev.TimerPaused(step, intent.where), *_raised(state, step, found))
        case do.Resume():
            return (ev.TimerResumed(_under_way(state)),)
        case do.Acknowledge():
            return (ev.AlarmAcknowledged(_under_way(state)),)
        case do.Leave():
            step = _under_way(state)
            return (ev.StepLeft(step), *_raised(state, step, departures.at_leaving(state, stamp.moment)))
        case do.WriteNote():
            return (ev.NoteWritten(_place(state), _said(intent.text)),)
        case do.Report():
            found = iter([("reported at the line", _said(intent.detail))])
            return tuple(_raised(state, _place(state), found))
        case do.Explain():
            return (ev.DeviationExplained(intent.number, _said(intent.reason)),)
        case _:
            return _signed(state, intent, stamp)


def _signed(state: BatchState, intent: do.Intent, stamp: do.Stamp) -> Iterable[ev.Event]:
    """Intents that stand only with the person's own signature."""
    match intent:
        case do.Sign():
            return (_signature(state, stamp),)
        case do.Redo():
            _need(stamp, "walk")
            reason = _said(intent.reason)
            found = iter([(ev.Departure.REDONE, f"back to step {intent.step}: {reason}")])
            return (ev.StepRedone(intent.step, reason), *_raised(state, intent.step, found))
        case do.Settle():
            _need(stamp, "settle", fresh=True)
            return (ev.DeviationSettled(intent.number, intent.disposition, stamp.by),)
        case do.Release():
            _need(stamp, "release", fresh=True)
            return (ev.BatchReleased(intent.pieces, stamp.by),)
        case do.Abandon():
            _need(stamp, "walk", fresh=True)
            return (ev.BatchAbandoned(_said(intent.reason), stamp.by),)
        case _:
            raise AssertionError(f"an intent without an answer: {intent}")


def _need(stamp: do.Stamp, right: Right, *, fresh: bool = False) -> None:
    """The person's key must be unlocked, and their role must allow this."""
    if not stamp.unlocked or (fresh and not stamp.fresh):
        raise Refused("this needs a signature", "enter your PIN")
    if not may(stamp.by.role, right):
        raise Refused(
            f"{stamp.by.name} is here as {stamp.by.role}, who may not {right.replace('_', ' ')}",
            "ask somebody whose role allows it",
        )


def _signature(state: BatchState, stamp: do.Stamp) -> ev.Event:
    step, run = state.step, state.run
    if step is None or run is None or step.sign is None:
        raise Refused("there is no hold point here", "go on with the walk")
    _need(stamp, "sign_chargehand" if step.sign == "chargehand" else "sign_operator", fresh=True)
    if step.sign == "operator" and stamp.by.id != run.who:
        raise Refused(
            f"step {step.number} was walked by {run.who}, not by {stamp.by.id}",
            f"have {run.who} sign it, or redo the step",
        )
    return ev.StepSigned(step.number, step.sign, stamp.by)


def _under_way(state: BatchState) -> int:
    if state.run is None or not state.inside:
        raise Refused("no step is under way", "enter the next step first")
    return state.run.step


def _place(state: BatchState) -> int:
    """The step that a remark belongs to: the one under way or just left, or 0 before the first."""
    return state.run.step if state.run else 0


def _said(text: str) -> str:
    """What somebody typed, refused where it could not stand in a record."""
    said = text.strip()
    if not said:
        raise Refused("nothing was written", "write a few words")
    if reason := unfit(said):
        raise Refused(f"the text cannot be kept: {reason}", "write it shorter and in plain characters")
    return said


def _figure(value: float, what: str) -> float:
    if not math.isfinite(value) or abs(value) > LARGEST:
        raise Refused(f"{what} is no figure that a meter shows", "type what the meter shows")
    return value


def _raised(state: BatchState, step: int, found: Iterable[Found]) -> Iterator[ev.Event]:
    for number, (what, detail) in enumerate(found, start=len(state.deviations) + 1):
        yield ev.DeviationRaised(number, step, str(what), detail)


def _value(state: BatchState, intent: do.AnswerValue) -> Iterable[ev.Event]:
    check = find_check(state, intent.step, intent.check)
    if check is None:
        raise Refused(f"step {intent.step} has no such check to answer now", "answer what is asked")
    value = _figure(intent.value, check.ask)
    given = ev.ValueGiven(intent.step, intent.check, value)
    here = state.inside and state.run is not None and state.run.step == intent.step
    if check.reads == "current" and here and state.step and state.step.energised:
        return (given, *_current(state, do.ReadCurrent(value, intent.in_tank_dm2), check))
    return (given, *_raised(state, intent.step, departures.of_value(check, value)))


def _choice(state: BatchState, intent: do.AnswerChoice) -> Iterable[ev.Event]:
    check = find_check(state, intent.step, intent.check)
    if check is None or intent.choice not in check.choices:
        raise Refused("that is none of the choices", "choose what is seen, or write a note beside it")
    found = departures.of_choice(check, intent.choice)
    return (ev.ChoiceGiven(intent.step, intent.check, intent.choice), *_raised(state, intent.step, found))


def _tank_area(state: BatchState, in_tank_dm2: float | None) -> float | None:
    """Energised area in the tank, never less than this rack's own."""
    own = state.step.energised_dm2 if state.step else None
    if in_tank_dm2 is None or own is None:
        return None
    return max(_figure(in_tank_dm2, "the area in the tank"), own)


def _current(
    state: BatchState, intent: do.ReadCurrent, check: PlannedCheck | None = None
) -> Iterable[ev.Event]:
    number = _under_way(state)
    step = state.opened.plan.step(number)
    amps = _figure(intent.amps, "the current")
    if not step.energised:
        raise Refused("no current is on in this step", "write a note if the meter shows one all the same")
    if amps < 0:
        raise Refused("a current is never below zero here", "type what the meter shows, without a sign")
    area = _tank_area(state, intent.in_tank_dm2)
    read = ev.CurrentRead(number, amps, area)
    found: list[Found] = []
    if step.energised_dm2:
        found += departures.of_density(step, amps / (area or step.energised_dm2), amps)
    if check and not found and area is None:
        found += departures.of_value(check, amps)
    return (read, *_raised(state, number, found))


def _charge(state: BatchState, intent: do.ReadCharge, now: Moment) -> Iterable[ev.Event]:
    number = _under_way(state)
    step, run = state.step, state.run
    ah = _figure(intent.ah, "the count")
    if step is None or run is None or not step.energised:
        raise Refused("no current is on in this step", "write a note if the counter moved all the same")
    if ah < 0:
        raise Refused("a count is never below zero", "type what the counter shows since this rack went in")
    area = _tank_area(state, intent.in_tank_dm2)
    found = departures.of_count(step, run, ah, area, now)
    return (ev.ChargeRead(number, ah, area), *_raised(state, number, found))
