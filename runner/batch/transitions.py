"""Which event may follow which: the whole order of a batch, in one table and its guards.

Everything that affects what may happen next stands here. `decide` asks it before it says yes, and
verification asks it of every line, so a journal that was put together by hand has to pass the same gate.
The guards ask of an event only what its own line and the state before it can answer; they cannot see
whether the person was entitled to their role (the shop journal can).
"""

from __future__ import annotations

from collections.abc import Callable

from runner.batch import events as ev
from runner.batch.alarms import objection_to_quiet
from runner.batch.corrections import objection_to
from runner.batch.questions import find_check, unsettled_matters, within_reach
from runner.batch.state import BatchState, Phase
from runner.batch.terms import Person
from runner.plating.efficiency import Efficiency
from runner.shop.rights import Right, may

LARGEST = 1e9
"""Greatest figure that may stand in a record: no meter in a shop shows more, and sums on it stay finite."""

_OPEN = frozenset(phase for phase in Phase if not phase.ended)
_STEP = frozenset({Phase.IN_STEP, Phase.PAUSED})
_METERED = _OPEN - {Phase.WAITING}
_UNDONE = _OPEN - {Phase.WALKED}

TABLE: dict[type[ev.Event], tuple[frozenset[Phase], Phase | None]] = {
    # event                 may happen while                         and leaves the batch (None: as it was)
    ev.FindingOverridden: (frozenset({Phase.WAITING}), None),
    ev.BatchTaken: (_OPEN, None),
    ev.CautionsConfirmed: (_UNDONE, None),
    ev.StepEntered: (frozenset({Phase.WAITING, Phase.BETWEEN}), Phase.IN_STEP),
    ev.ValueGiven: (_OPEN, None),
    ev.ChoiceGiven: (_OPEN, None),
    ev.CurrentRead: (_METERED, None),  # after the current went off: of the step just left
    ev.ChargeRead: (_METERED, None),
    ev.EntryCorrected: (_OPEN, None),
    ev.TimerPaused: (frozenset({Phase.IN_STEP}), Phase.PAUSED),
    ev.TimerResumed: (frozenset({Phase.PAUSED}), Phase.IN_STEP),
    ev.AlarmAcknowledged: (_METERED, None),
    ev.AlarmShelved: (_METERED, None),
    ev.StepLeft: (_STEP, Phase.BETWEEN),  # or walked, after the last step
    ev.StepSigned: (_OPEN - {Phase.WAITING}, None),
    ev.StepRedone: (frozenset({Phase.BETWEEN, Phase.WALKED}), Phase.BETWEEN),
    ev.NoteWritten: (_OPEN, None),
    ev.DeviationRaised: (_OPEN, None),
    ev.DeviationExplained: (_OPEN, None),
    ev.DeviationSettled: (_OPEN, None),
    ev.ClockStepped: (_OPEN, None),
    ev.TailSetAside: (_OPEN, None),
    ev.BatchReleased: (frozenset({Phase.WALKED}), Phase.RELEASED),
    ev.BatchAbandoned: (_OPEN, Phase.ABANDONED),
}


def objection(state: BatchState, event: ev.Event) -> str | None:
    """Why an event cannot follow this state, or None where it can."""
    if isinstance(event, ev.BatchOpened):
        return "a batch is opened once, on its first line"
    phases, _ = TABLE[type(event)]
    if state.phase.ended:
        return f"nothing follows a batch that is {state.phase}"
    if state.owed and not _pays(state, event):
        return f"the fact before it departs from the plan ({state.owed[0].what}): its deviation comes first"
    if state.phase not in phases:
        return f"{event.kind} cannot happen while the batch is {state.phase}"
    guard = _GUARDS.get(type(event))
    return (guard(state, event) if guard else None) or _unentitled(event)


def _unentitled(event: ev.Event) -> str | None:
    """Why the role that a signed event names does not allow it; whether the role is true, the roll knows."""
    right = _RIGHTS.get(type(event))
    if right is None:
        if not isinstance(event, ev.StepSigned):
            return None
        right = "sign_chargehand" if event.meaning == "chargehand" else "sign_operator"
    by = getattr(event, "by", None)
    if not isinstance(by, Person) or may(by.role, right):
        return None
    return f"{by.name} signed it as {by.role}, who may not {right.replace('_', ' ')}"


def _pays(state: BatchState, event: ev.Event) -> bool:
    """Whether an event is the deviation that is owed next, or the note of a tail that a crash tore off it."""
    if isinstance(event, ev.TailSetAside):
        return True
    owed = state.owed[0]
    return isinstance(event, ev.DeviationRaised) and (event.step, event.what) == (owed.step, owed.what)


def opening_objection(event: ev.Event) -> str | None:
    """Why an event cannot be a journal's first, or None where it can."""
    if not isinstance(event, ev.BatchOpened):
        return "the first line must open the batch"
    if event.format != ev.FORMAT:
        return f"format {event.format} is not known here; read it with the release that wrote it"
    if not may(event.by.role, "walk"):
        return f"{event.by.name} opened it as {event.by.role}, who may not walk"
    numbers = [step.number for step in event.plan.steps]
    if not numbers or numbers != list(range(1, len(numbers) + 1)):
        return "the plan's steps are not numbered from 1 without a gap"
    for step in event.plan.steps:
        try:
            Efficiency(step.efficiency) if step.efficiency else None
        except ValueError as error:
            return f"step {step.number}: {error}"
    return None


def _in_this_step(state: BatchState, event: ev.Event) -> str | None:
    number = getattr(event, "step", None)
    if state.run is None or number != state.run.step:
        return f"step {number} is not the step under way"
    return None


def _overridden(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.FindingOverridden)
    if not 1 <= event.number <= len(state.opened.findings):
        return f"there is no finding {event.number}"
    if any(one.number == event.number for one in state.overridden):
        return "it is overridden already"
    if not state.opened.findings[event.number - 1].overridable:
        return "nobody may override it: the route must change"
    return None if event.reason.strip() else "an override needs its reason"


def _read(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.CurrentRead | ev.ChargeRead)
    if objected := _in_this_step(state, event):
        return objected
    step = state.step
    if step is None or not step.energised:
        return f"no current is on in step {event.step}"
    figure = event.amps if isinstance(event, ev.CurrentRead) else event.ah
    if not 0 <= figure <= LARGEST:
        return f"no meter shows {figure:g}"
    if event.in_tank_dm2 is not None and not (step.energised_dm2 or 0.0) <= event.in_tank_dm2 <= LARGEST:
        return "less area in the tank than this rack's own, or more than a tank holds"
    return None


def _corrected(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.EntryCorrected)
    return objection_to(state, event, LARGEST)


def _entered(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.StepEntered)
    if event.step != state.next_step:
        return f"step {event.step} is entered where step {state.next_step} is next"
    if state.barred_by is not None:
        return f"finding {state.barred_by} of the rules bars the route until it is overridden"
    waiting = unsigned_hold(state)
    return f"step {waiting} waits for its signature" if waiting else None


def unsigned_hold(state: BatchState) -> int | None:
    """Number of the step just left whose hold point is not signed yet, or None."""
    run, step = state.run, state.step
    if run is None or step is None or step.sign is None or run.signatures or state.next_step <= run.step:
        return None
    return run.step


def _confirmed(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.CautionsConfirmed)
    step = next((ahead for ahead in within_reach(state) if ahead.number == event.step), None)
    if step is None:
        return f"cautions of step {event.step} are not asked yet, or no more"
    if event.cautions != step.confirm:
        return "the cautions confirmed are not those of the plan"
    return None


def _value(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.ValueGiven)
    check = find_check(state, event.step, event.check)
    if check is None:
        return f"step {event.step} has no check {event.check} to answer now"
    if not abs(event.value) <= LARGEST:
        return f"{event.value:g} is beyond any figure that a check can have"
    return None if check.unit is not None else "a state is asked here, not a value"


def _choice(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.ChoiceGiven)
    check = find_check(state, event.step, event.check)
    if check is None:
        return f"step {event.step} has no check {event.check} to answer now"
    return None if event.choice in check.choices else f"{event.choice!r} is none of the choices"


def _signed(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.StepSigned)
    if objected := _in_this_step(state, event):
        return objected
    step, run = state.step, state.run
    if step is None or run is None or state.signer(step) != event.meaning:
        return f"step {event.step} asks for no signature of a {event.meaning}"
    if event.meaning == "operator" and event.by.id != run.who:
        return f"step {event.step} was walked by {run.who}, not by {event.by.id}"
    return "the step is signed already" if run.signatures else None


def _alarm(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.AlarmAcknowledged | ev.AlarmShelved)
    if objected := _in_this_step(state, event):
        return objected
    for_s = event.for_s if isinstance(event, ev.AlarmShelved) else None
    return objection_to_quiet(state.opened.plan.step(event.step), event.alarm, for_s)


def _redone(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.StepRedone)
    if state.run is None or not 1 <= event.step < state.next_step:
        return f"step {event.step} has not been walked yet"
    return None


def _noted(state: BatchState, event: ev.Event) -> str | None:
    number = getattr(event, "step", 0)
    return None if 0 <= number <= len(state.opened.plan.steps) else f"there is no step {number}"


def _raised(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.DeviationRaised)
    if event.number != len(state.deviations) + 1:
        return f"deviation {event.number} is raised where {len(state.deviations) + 1} is next"
    return _noted(state, event)


def _explained(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.DeviationExplained)
    if not 1 <= event.number <= len(state.deviations):
        return f"there is no deviation {event.number}"
    return "it has its reason already" if state.deviations[event.number - 1].reason is not None else None


def _settled(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.DeviationSettled)
    if not 1 <= event.number <= len(state.deviations):
        return f"there is no deviation {event.number}"
    deviation = state.deviations[event.number - 1]
    if deviation.disposition is not None:
        return "it is settled already"
    return "its reason comes first" if deviation.reason is None else None


def _released(state: BatchState, event: ev.Event) -> str | None:
    assert isinstance(event, ev.BatchReleased)
    if matters := unsettled_matters(state):
        return f"release waits: {matters[0]}"
    load = state.opened.plan.loads[0].pieces if state.opened.plan.loads else state.opened.plan.pieces
    return None if 0 <= event.pieces <= load else f"{event.pieces} pieces of {load}"


_RIGHTS: dict[type[ev.Event], Right] = {
    ev.FindingOverridden: "settle",
    ev.BatchTaken: "walk",
    ev.AlarmShelved: "walk",
    ev.DeviationSettled: "settle",
    ev.BatchReleased: "release",
    ev.BatchAbandoned: "walk",
}

_GUARDS: dict[type[ev.Event], Callable[[BatchState, ev.Event], str | None]] = {
    ev.FindingOverridden: _overridden,
    ev.StepEntered: _entered,
    ev.CautionsConfirmed: _confirmed,
    ev.ValueGiven: _value,
    ev.ChoiceGiven: _choice,
    ev.CurrentRead: _read,
    ev.ChargeRead: _read,
    ev.EntryCorrected: _corrected,
    ev.TimerPaused: _in_this_step,
    ev.TimerResumed: _in_this_step,
    ev.AlarmAcknowledged: _alarm,
    ev.AlarmShelved: _alarm,
    ev.StepLeft: _in_this_step,
    ev.StepSigned: _signed,
    ev.StepRedone: _redone,
    ev.NoteWritten: _noted,
    ev.DeviationRaised: _raised,
    ev.DeviationExplained: _explained,
    ev.DeviationSettled: _settled,
    ev.BatchReleased: _released,
}
