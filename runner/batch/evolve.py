"""What an event changes: the fold from journal to state.

Owns the one place where state is made. It cannot refuse: what may happen is decided before (`decide`)
and checked after (`transitions`). Must not look at a clock: every moment comes with its event.
"""

from __future__ import annotations

from dataclasses import replace

from runner.batch import events as ev
from runner.batch.clocks import current_off, out_of_tank
from runner.batch.corrections import corrected
from runner.batch.departures import of_event
from runner.batch.moment import Moment
from runner.batch.state import (
    Answer,
    BatchState,
    Deviation,
    Note,
    Overridden,
    Owed,
    Pause,
    Phase,
    Reading,
    Signature,
    StepRun,
)
from runner.batch.transitions import TABLE


def opened(event: ev.BatchOpened, moment: Moment) -> BatchState:
    """The state after a journal's first line."""
    return BatchState(
        opened=event, opened_at=moment, phase=Phase.WAITING, next_step=1, taken_by=event.by, last=moment
    )


def evolve(state: BatchState, event: ev.Event, moment: Moment, who: str) -> BatchState:
    """The state after one more event.

    Args:
        state: Before it.
        event: What happened, already found to be in order.
        moment: When.
        who: Id of the person whose session it was.
    """
    _, phase = TABLE[type(event)]
    line, owed = state.lines + 1, _owed(state, event, moment)
    # What every event changes in one copy: copies are most of what folding a long journal costs.
    after = replace(state, last=moment, phase=phase or state.phase, lines=line, owed=owed)
    match event:
        case ev.FindingOverridden():
            taken = Overridden(event.number, event.reason, event.by, moment)
            return replace(after, overridden=(*state.overridden, taken))
        case ev.BatchTaken():
            return replace(after, taken_by=event.by)
        case ev.CautionsConfirmed():
            return replace(after, confirmed=(*state.confirmed, (event.step, moment)))
        case ev.StepEntered():
            return _entered(state, after, moment, who)
        case ev.ValueGiven():
            return _answered(
                after, event.step, Answer(event.check, moment, who, value=event.value, line=line)
            )
        case ev.ChoiceGiven():
            return _answered(
                after, event.step, Answer(event.check, moment, who, choice=event.choice, line=line)
            )
        case ev.CurrentRead():
            return _read(after, Reading(moment, event.in_tank_dm2, amps=event.amps, line=line))
        case ev.ChargeRead():
            return _read(after, Reading(moment, event.in_tank_dm2, ah=event.ah, line=line))
        case ev.EntryCorrected():
            return corrected(after, event, moment, who)
        case ev.TimerPaused():
            run = state.runs[-1]
            return _with_run(after, replace(run, pauses=(*run.pauses, Pause(event.where, moment))))
        case ev.TimerResumed():
            return _with_run(after, _resumed(state.runs[-1], moment))
        case ev.AlarmAcknowledged():
            return _with_run(after, replace(state.runs[-1], acknowledged=moment))
        case ev.StepLeft():
            return _left(state, after, moment)
        case ev.StepSigned():
            signature = Signature(event.meaning, event.by, moment)
            run = state.runs[-1]
            return _with_run(after, replace(run, signatures=(*run.signatures, signature)))
        case ev.StepRedone():
            return replace(after, next_step=event.step, confirmed=(), early_answers=())
        case ev.NoteWritten():
            return replace(after, notes=(*state.notes, Note(event.step, event.text, moment, who)))
        case ev.ClockStepped():
            return replace(after, clock_steps_s=(*state.clock_steps_s, event.by_s))
        case ev.TailSetAside():
            return replace(after, tails=state.tails + 1)
        case ev.BatchReleased():
            return replace(after, released_pieces=event.pieces, ended_by=event.by)
        case ev.BatchAbandoned():
            return replace(after, abandoned_because=event.reason, ended_by=event.by)
        case _:
            return _deviation(after, event, moment, who)


def _owed(state: BatchState, event: ev.Event, moment: Moment) -> tuple[Owed, ...]:
    """Deviations still to be raised after an event."""
    if isinstance(event, ev.DeviationRaised):
        return state.owed[1:]
    if isinstance(event, ev.TailSetAside):
        return state.owed
    step = getattr(event, "step", 0)
    return tuple(Owed(step, what, detail) for what, detail in of_event(state, event, moment))


def _with_run(state: BatchState, run: StepRun) -> BatchState:
    return replace(state, runs=(*state.runs[:-1], run))


def _entered(before: BatchState, after: BatchState, moment: Moment, who: str) -> BatchState:
    """A new run; the clocks of the way there are read off before they stop."""
    number = before.next_step
    step = before.opened.plan.step(number)
    out, off = out_of_tank(before), current_off(before)
    run = StepRun(
        step=number,
        attempt=1 + sum(run.step == number for run in before.runs),
        entered=moment,
        who=who,
        confirmed=next((at for confirmed, at in before.confirmed if confirmed == number), None),
        out_s=out.ran_s(moment) if out else None,
        off_s=off.ran_s(moment) if off and step.energised else None,
        answers=tuple(answer for answered, answer in before.early_answers if answered == number),
    )
    return replace(
        after,
        runs=(*before.runs, run),
        next_step=number + 1,
        confirmed=tuple(item for item in before.confirmed if item[0] != number),
        early_answers=tuple(item for item in before.early_answers if item[0] != number),
    )


def _answered(state: BatchState, step: int, answer: Answer) -> BatchState:
    """The answer goes to the last time through its step, or waits for the step to be entered."""
    if step >= state.next_step:
        return replace(state, early_answers=(*state.early_answers, (step, answer)))
    at = max(index for index, run in enumerate(state.runs) if run.step == step)
    run = state.runs[at]
    run = replace(run, answers=(*run.answers, answer))
    return replace(state, runs=(*state.runs[:at], run, *state.runs[at + 1 :]))


def _read(state: BatchState, reading: Reading) -> BatchState:
    run = state.runs[-1]
    return _with_run(state, replace(run, readings=(*run.readings, reading)))


def _resumed(run: StepRun, moment: Moment) -> StepRun:
    return replace(run, pauses=(*run.pauses[:-1], replace(run.pauses[-1], ended=moment)))


def _left(before: BatchState, after: BatchState, moment: Moment) -> BatchState:
    run = before.runs[-1]
    if before.phase is Phase.PAUSED:
        run = _resumed(run, moment)
    phase = Phase.WALKED if before.upcoming is None else Phase.BETWEEN
    return replace(_with_run(after, replace(run, left=moment)), phase=phase)


def _deviation(state: BatchState, event: ev.Event, moment: Moment, who: str) -> BatchState:
    """One deviation raised, explained or settled."""
    if isinstance(event, ev.DeviationRaised):
        raised = Deviation(event.number, event.step, event.what, event.detail, moment, who)
        return replace(state, deviations=(*state.deviations, raised))
    assert isinstance(event, ev.DeviationExplained | ev.DeviationSettled)
    at = event.number - 1
    if isinstance(event, ev.DeviationExplained):
        changed = replace(state.deviations[at], reason=event.reason)
    else:
        changed = replace(
            state.deviations[at], disposition=event.disposition, settled_by=event.by, settled=moment
        )
    return replace(state, deviations=(*state.deviations[:at], changed, *state.deviations[at + 1 :]))
