"""Yes or no: what an intent makes happen, or why it cannot.

Two kinds of "no" are kept apart. What would break the order or the record is refused, with its reason
and a remedy. A fact is never refused: it is taken at once, and what is wrong with it becomes a deviation
beside it. Must not look at a clock or a disk: who and when come in the stamp.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from runner.batch import events as ev
from runner.batch import intents as do
from runner.batch.alarms import loudest
from runner.batch.corrections import find_entry, same_reading
from runner.batch.evolve import evolve
from runner.batch.moment import CLOCK_STEP_S, Moment, clock_step_s
from runner.batch.questions import find_check, within_reach
from runner.batch.state import Answer, BatchState, Phase
from runner.batch.transitions import LARGEST, objection
from runner.shop.rights import Right, may
from runner.text import unfit

REPORTED = "reported at the line"
"""What a deviation is called that somebody raised by hand."""


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
    events: list[ev.Event] = []
    after = state
    wanted = [*owed(state), *_clock_step(state.last, stamp.moment), *_events(state, intent, stamp)]
    while wanted:
        event = wanted.pop(0)
        if reason := objection(after, event):
            raise Refused(reason, _REMEDIES.get(type(intent), "see what the walk asks for next"))
        after = evolve(after, event, stamp.moment, stamp.by.id)
        events.append(event)
        if not isinstance(event, ev.DeviationRaised):
            wanted = [*owed(after), *wanted]
    return tuple(events)


def owed(state: BatchState) -> Iterator[ev.Event]:
    """The deviations that the last fact owes; a crash may have torn them off it."""
    for number, due in enumerate(state.owed, start=len(state.deviations) + 1):
        yield ev.DeviationRaised(number, due.step, due.what, due.detail)


_REMEDIES: dict[type[do.Intent], str] = {
    do.Enter: "finish and sign what comes before it; redo a step with a reason if it must be repeated",
    do.Override: "have a chargehand override what may be overridden, or change the route",
    do.Confirm: "confirm the cautions that the walk asks for",
    do.Leave: "enter the step first",
    do.Shelve: "choose a shorter time, or act on it now",
    do.Sign: "sign where the step asks for it",
    do.Release: "settle what is open first",
    do.Redo: "lift the rack out first, then name a step that has been walked",
    do.AnswerValue: "answer what is asked",
    do.Correct: "choose an entry from the list and type what it should say",
    do.Explain: "name a deviation that still has no reason",
    do.Settle: "name a deviation that has its reason and is not settled",
}


def _clock_step(last: Moment, now: Moment) -> Iterator[ev.Event]:
    """A step of the wall clock against the uptime; across boots nothing can tell one from a long stop."""
    by_s = clock_step_s(last, now)
    if abs(by_s) > CLOCK_STEP_S:
        yield ev.ClockStepped(by_s)


def _events(state: BatchState, intent: do.Intent, stamp: do.Stamp) -> Iterable[ev.Event]:
    match intent:
        case do.Take():
            _need(stamp, "walk")
            return (ev.BatchTaken(stamp.by, intent.supervised),)
        case do.Confirm():
            ahead = next((step for step in within_reach(state) if step.number == intent.step), None)
            return (ev.CautionsConfirmed(intent.step, ahead.confirm if ahead else ()),)
        case do.Enter():
            if state.upcoming is None:
                raise Refused("every step has been walked", "release the batch, or redo a step with a reason")
            return (ev.StepEntered(state.next_step),)
        case do.AnswerValue():
            return _value(state, intent)
        case do.AnswerChoice():
            return (_choice(state, intent),)
        case do.ReadCurrent():
            return (_current(state, intent),)
        case do.ReadCharge():
            return (_charge(state, intent),)
        case do.Correct():
            return _correction(state, intent)
        case do.Interrupt():
            return (ev.TimerPaused(_under_way(state), intent.where),)
        case do.Resume():
            return (ev.TimerResumed(_under_way(state)),)
        case do.Acknowledge():
            heard = intent.alarm or loudest(state, stamp.moment)
            return (ev.AlarmAcknowledged(_metered(state), str(heard)),)
        case do.Leave():
            return (ev.StepLeft(_under_way(state)),)
        case do.WriteNote():
            return (ev.NoteWritten(_place(state), _said(intent.text)),)
        case do.Report():
            number = len(state.deviations) + len(state.owed) + 1
            return (ev.DeviationRaised(number, _place(state), REPORTED, _said(intent.detail)),)
        case do.Explain():
            return (ev.DeviationExplained(intent.number, _said(intent.reason)),)
        case _:
            return _signed(state, intent, stamp)


def _correction(state: BatchState, intent: do.Correct) -> Iterator[ev.Event]:
    """The entry put right; an ammeter's answer and the reading that it was taken as, both."""
    found = find_entry(state, intent.line)
    if found is None:
        raise Refused(f"line {intent.line} made no entry that could be corrected", "choose one from the list")
    at, entry = found
    step, reason = state.runs[at].step, _said(intent.reason)
    reading = same_reading(state, entry) if isinstance(entry, Answer) else None
    if reading is not None:
        yield ev.EntryCorrected(step, reading.line, reason, value=intent.value)
    yield ev.EntryCorrected(step, intent.line, reason, intent.value, intent.choice)


def _signed(state: BatchState, intent: do.Intent, stamp: do.Stamp) -> Iterable[ev.Event]:
    """Intents that stand only with the person's own signature."""
    match intent:
        case do.Sign():
            return (_signature(state, stamp),)
        case do.Shelve():
            _need(stamp, "walk")
            return (ev.AlarmShelved(_metered(state), intent.alarm, intent.for_s, stamp.by),)
        case do.Override():
            _need(stamp, "settle", fresh=True)
            return (ev.FindingOverridden(intent.number, _said(intent.reason), stamp.by),)
        case do.Redo():
            _need(stamp, "walk")
            return (ev.StepRedone(intent.step, _said(intent.reason)),)
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
    signer = state.signer(step) if step else None
    if step is None or run is None or signer is None:
        raise Refused("there is no hold point here", "go on with the walk")
    _need(stamp, "sign_chargehand" if signer == "chargehand" else "sign_operator", fresh=True)
    if signer == "operator" and stamp.by.id != run.who:
        raise Refused(
            f"step {step.number} was walked by {run.who}, not by {stamp.by.id}",
            f"have {run.who} sign it, or redo the step",
        )
    return ev.StepSigned(step.number, signer, stamp.by)


def _under_way(state: BatchState) -> int:
    if state.run is None or not state.inside:
        raise Refused("no step is under way", "enter the next step first")
    return state.run.step


def _metered(state: BatchState) -> int:
    """The step that a meter reading or an alarm is of: the one under way, or the one just left."""
    if state.run is None:
        raise Refused("no step has been entered yet", "enter the step first")
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


def _value(state: BatchState, intent: do.AnswerValue) -> Iterator[ev.Event]:
    """The value seen; at the ammeter of a step under way it is a reading too, which comes first."""
    check = find_check(state, intent.step, intent.check)
    if check is None:
        raise Refused(f"step {intent.step} has no such check to answer now", "answer what is asked")
    value = _figure(intent.value, check.ask)
    here = state.phase is Phase.IN_STEP and state.run is not None and state.run.step == intent.step
    if check.reads == "current" and here and state.step and state.step.energised:
        yield _current(state, do.ReadCurrent(value, intent.in_tank_dm2))
    yield ev.ValueGiven(intent.step, intent.check, value)


def _choice(state: BatchState, intent: do.AnswerChoice) -> ev.Event:
    check = find_check(state, intent.step, intent.check)
    if check is None or intent.choice not in check.choices:
        raise Refused("that is none of the choices", "choose what is seen, or write a note beside it")
    return ev.ChoiceGiven(intent.step, intent.check, intent.choice)


def _tank_area(state: BatchState, in_tank_dm2: float | None) -> float | None:
    """Energised area in the tank, never less than this rack's own."""
    own = state.step.energised_dm2 if state.step else None
    if in_tank_dm2 is None or own is None:
        return None
    return max(_figure(in_tank_dm2, "the area in the tank"), own)


def _current(state: BatchState, intent: do.ReadCurrent) -> ev.Event:
    number = _metered(state)
    amps = _figure(intent.amps, "the current")
    if not state.opened.plan.step(number).energised:
        raise Refused("no current is on in this step", "write a note if the meter shows one all the same")
    if amps < 0:
        raise Refused("a current is never below zero here", "type what the meter shows, without a sign")
    return ev.CurrentRead(number, amps, _tank_area(state, intent.in_tank_dm2))


def _charge(state: BatchState, intent: do.ReadCharge) -> ev.Event:
    number = _metered(state)
    ah = _figure(intent.ah, "the count")
    if not state.opened.plan.step(number).energised:
        raise Refused("no current is on in this step", "write a note if the counter moved all the same")
    if ah < 0:
        raise Refused("a count is never below zero", "type what the counter shows since this rack went in")
    return ev.ChargeRead(number, ah, _tank_area(state, intent.in_tank_dm2))
