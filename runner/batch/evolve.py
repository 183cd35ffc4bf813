"""What an event changes: the fold from journal to state.

Owns the one place where state is made. It cannot refuse: what may happen is decided before (`decide`)
and checked after (`transitions`). Must not look at a clock: every moment comes with its event.
"""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from runner.batch import events as ev
from runner.batch.clocks import current_off, out_of_tank, when_on
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
    Quieted,
    Reading,
    Signature,
    StepRun,
)
from runner.batch.transitions import TABLE

Changes = dict[str, Any]
"""Fields of a state, and what they become."""


def opened(event: ev.BatchOpened, moment: Moment) -> BatchState:
    """The state after a journal's first line."""
    return BatchState(
        opened=event,
        opened_at=moment,
        phase=Phase.WAITING,
        next_step=1,
        taken_by=event.by,
        last=moment,
        supervised=event.supervised,
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
    # All in one copy: copies are most of what folding a long journal costs.
    changes = _changes(state, event, moment, who)
    changes.setdefault("phase", phase or state.phase)
    owed = _owed(state, event, moment)
    return replace(state, last=moment, lines=state.lines + 1, owed=owed, **changes)


def _changes(state: BatchState, event: ev.Event, moment: Moment, who: str) -> Changes:
    """What an event changes beyond that which every event changes."""
    line = state.lines + 1
    match event:
        case ev.StepEntered():
            return _entered(state, moment, who)
        case ev.StepLeft():
            return _left(state, moment)
        case ev.ValueGiven():
            return _answered(
                state, event.step, Answer(event.check, moment, who, value=event.value, line=line)
            )
        case ev.ChoiceGiven():
            return _answered(
                state, event.step, Answer(event.check, moment, who, choice=event.choice, line=line)
            )
        case ev.CurrentRead():
            at = when_on(state, moment)
            return _read(state, Reading(at, event.in_tank_dm2, amps=event.amps, line=line))
        case ev.ChargeRead():
            at = when_on(state, moment)
            return _read(state, Reading(at, event.in_tank_dm2, ah=event.ah, line=line))
        case ev.CautionsConfirmed():
            return {"confirmed": (*state.confirmed, (event.step, moment))}
        case ev.FindingOverridden():
            taken = Overridden(event.number, event.reason, event.by, moment)
            return {"overridden": (*state.overridden, taken)}
        case ev.BatchTaken():
            return {"taken_by": event.by, "supervised": state.supervised or event.supervised}
        case ev.EntryCorrected():
            return {"runs": corrected(state, event, moment, who).runs}
        case ev.TimerPaused():
            run = state.runs[-1]
            return _with_run(state, replace(run, pauses=(*run.pauses, Pause(event.where, moment))))
        case ev.TimerResumed():
            return _with_run(state, replace(state.runs[-1], pauses=_resumed(state.runs[-1], moment)))
        case ev.AlarmAcknowledged():
            return _heard(state, event, moment, who)
        case ev.AlarmShelved():
            return _with_run(state, _quieted(state, Quieted(event.alarm, who, moment, event.for_s)))
        case ev.StepSigned():
            signature = Signature(event.meaning, event.by, moment)
            run = state.runs[-1]
            return _with_run(state, replace(run, signatures=(*run.signatures, signature)))
        case ev.StepRedone():
            return {"next_step": event.step, "confirmed": (), "early_answers": ()}
        case ev.NoteWritten():
            return {"notes": (*state.notes, Note(event.step, event.text, moment, who))}
        case ev.ClockStepped():
            return {"clock_steps_s": (*state.clock_steps_s, event.by_s)}
        case ev.TailSetAside():
            return {"tails": state.tails + 1}
        case ev.BatchReleased():
            return {"released_pieces": event.pieces, "ended_by": event.by}
        case ev.BatchAbandoned():
            return {"abandoned_because": event.reason, "ended_by": event.by}
        case _:
            return _deviation(state, event, moment, who)


def _owed(state: BatchState, event: ev.Event, moment: Moment) -> tuple[Owed, ...]:
    """Deviations still to be raised after an event."""
    if isinstance(event, ev.DeviationRaised):
        return state.owed[1:]
    if isinstance(event, ev.TailSetAside):
        return state.owed
    found = of_event(state, event, moment)
    step = getattr(event, "step", 0) if found else 0
    return tuple([Owed(step, what, detail) for what, detail in found])


def _with_run(state: BatchState, run: StepRun) -> Changes:
    return {"runs": (*state.runs[:-1], run)}


def _entered(state: BatchState, moment: Moment, who: str) -> Changes:
    """A new run; the clocks of the way there are read off before they stop."""
    number = state.next_step
    step = state.opened.plan.step(number)
    out, off = out_of_tank(state), current_off(state) if step.energised else None
    run = StepRun(
        step=number,
        attempt=1 + sum([run.step == number for run in state.runs]),
        entered=moment,
        who=who,
        confirmed=next((at for confirmed, at in state.confirmed if confirmed == number), None),
        out_s=out.ran_s(moment) if out else None,
        off_s=off.ran_s(moment) if off else None,
        answers=tuple([answer for answered, answer in state.early_answers if answered == number]),
    )
    return {
        "runs": (*state.runs, run),
        "next_step": number + 1,
        "confirmed": tuple([item for item in state.confirmed if item[0] != number]),
        "early_answers": tuple([item for item in state.early_answers if item[0] != number]),
    }


def _answered(state: BatchState, step: int, answer: Answer) -> Changes:
    """The answer goes to the last time through its step, or waits for the step to be entered."""
    if step >= state.next_step:
        return {"early_answers": (*state.early_answers, (step, answer))}
    at = len(state.runs) - 1
    while state.runs[at].step != step:
        at -= 1
    run = state.runs[at]
    run = replace(run, answers=(*run.answers, answer))
    return {"runs": (*state.runs[:at], run, *state.runs[at + 1 :])}


def _read(state: BatchState, reading: Reading) -> Changes:
    run = state.runs[-1]
    return _with_run(state, replace(run, readings=(*run.readings, reading)))


def _heard(state: BatchState, event: ev.AlarmAcknowledged, moment: Moment, who: str) -> Changes:
    """A lift that is overdue in either way is acknowledged once: the next press says that it is out."""
    run = _quieted(state, Quieted(event.alarm, who, moment))
    lift = event.alarm in {"time is up", "overstayed"}
    return _with_run(state, replace(run, acknowledged=moment) if lift else run)


def _quieted(state: BatchState, quiet: Quieted) -> StepRun:
    run = state.runs[-1]
    return replace(run, quieted=(*run.quieted, quiet))


def _resumed(run: StepRun, moment: Moment) -> tuple[Pause, ...]:
    return (*run.pauses[:-1], replace(run.pauses[-1], ended=moment))


def _left(state: BatchState, moment: Moment) -> Changes:
    run = state.runs[-1]
    pauses = _resumed(run, moment) if state.phase is Phase.PAUSED else run.pauses
    phase = Phase.WALKED if state.upcoming is None else Phase.BETWEEN
    return {**_with_run(state, replace(run, pauses=pauses, left=moment)), "phase": phase}


def _deviation(state: BatchState, event: ev.Event, moment: Moment, who: str) -> Changes:
    """One deviation raised, explained or settled."""
    if isinstance(event, ev.DeviationRaised):
        raised = Deviation(event.number, event.step, event.what, event.detail, moment, who)
        return {"deviations": (*state.deviations, raised)}
    assert isinstance(event, ev.DeviationExplained | ev.DeviationSettled)
    at = event.number - 1
    if isinstance(event, ev.DeviationExplained):
        after = replace(state.deviations[at], reason=event.reason)
    else:
        after = replace(
            state.deviations[at], disposition=event.disposition, settled_by=event.by, settled=moment
        )
    return {"deviations": (*state.deviations[:at], after, *state.deviations[at + 1 :])}
