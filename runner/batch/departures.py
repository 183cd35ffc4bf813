"""How a fact departs from the plan: each departure found becomes a deviation beside the fact.

Owns the comparisons of what happened with what was planned. A fact is never refused here; it is taken
as it is, and what is wrong with it is written down with it.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.batch import events as ev
from runner.batch.clocks import current_off, out_of_tank, when_on
from runner.batch.corrections import find_entry
from runner.batch.moment import Moment
from runner.batch.questions import cautions_due, early_questions, unanswered
from runner.batch.state import BatchState, Phase, Reading
from runner.batch.terms import Departure, Where
from runner.batch.timer import Progress, counted_time_s, progress
from runner.procedure.sheet import PlannedCheck, PlannedStep
from runner.text import shown
from runner.units import Kind, write, write_time

Found = tuple[Departure, str]
"""What kind of departure, and its detail in words."""

SHORTEST_COUNT_S = 60.0
"""Over less than this a counter's own resolution says more than the current did (common practice)."""


def of_event(state: BatchState, event: ev.Event, now: Moment) -> tuple[Found, ...]:
    """Every departure that a fact shows, in the order in which deviations are raised for them.

    Args:
        state: Before the fact.
        event: The fact, already found to be in order.
        now: When it happened.
    """
    match event:
        case ev.StepEntered():
            return tuple(_at_entry(state, now))
        case ev.StepLeft():
            return tuple(_at_leaving(state, now))
        case ev.ValueGiven():
            return tuple(_of_value(state, event))
        case ev.ChoiceGiven():
            return tuple(_of_choice(state.opened.plan.step(event.step).checks[event.check], event.choice))
        case ev.TimerPaused():
            return tuple(_at_interruption(state.opened.plan.step(event.step), event.where))
        case ev.StepRedone():
            return ((Departure.REDONE, f"back to step {event.step}: {shown(event.reason)}"),)
        case ev.CurrentRead():
            return tuple(_of_reading(state, event))
        case ev.EntryCorrected():
            return tuple(_of_correction(state, event))
        case ev.ChargeRead():
            return tuple(_of_count(state, event, when_on(state, now)))
        case _:
            return ()


def _of_reading(state: BatchState, event: ev.CurrentRead) -> Iterator[Found]:
    yield from _of_amps(state.opened.plan.step(event.step), event.amps, event.in_tank_dm2)


def _of_value(state: BatchState, event: ev.ValueGiven) -> Iterator[Found]:
    """A value outside the check's own limits.

    An ammeter's answer has its density judged by the reading beside it; its limits here are those of
    this rack alone, so with others in the tank they say nothing.
    """
    step = state.opened.plan.step(event.step)
    check = step.checks[event.check]
    run = state.run
    here = state.phase is Phase.IN_STEP and run is not None and run.step == event.step
    if check.reads == "current" and here and run is not None and run.readings:
        last = run.readings[-1]
        if last.in_tank_dm2 is not None or next(_of_amps(step, event.value, None), None) is not None:
            return
    yield from _outside(check, event.value)


def _of_correction(state: BatchState, event: ev.EntryCorrected) -> Iterator[Found]:
    """What the right figure still departs from; the wrong one keeps the deviation that it raised."""
    found = find_entry(state, event.line)
    step = state.opened.plan.step(event.step)
    if found is None:
        return
    entry = found[1]
    if isinstance(entry, Reading):
        if event.value is not None and entry.amps is not None:
            yield from _of_amps(step, event.value, entry.in_tank_dm2)
    elif event.choice is not None:
        yield from _of_choice(step.checks[entry.check], event.choice)
    elif event.value is not None and step.checks[entry.check].reads is None:
        yield from _outside(step.checks[entry.check], event.value)


def _of_amps(step: PlannedStep, amps: float, in_tank_dm2: float | None) -> Iterator[Found]:
    if step.energised_dm2:
        yield from _of_density(step, amps / (in_tank_dm2 or step.energised_dm2), amps)


def _at_entry(state: BatchState, now: Moment) -> Iterator[Found]:
    """Departures that entering the next step shows: the way there, and what was not asked before."""
    step = state.opened.plan.step(state.next_step)
    out, off = out_of_tank(state), current_off(state) if step.energised else None
    if out and (over := out.over_s(now)) is not None and over > 0:
        way = (
            f"{write_time(out.ran_s(now))} out after step {out.step}, {write_time(out.limit_s or 0)} allowed"
        )
        yield Departure.TRANSFER, f"{way}: it may have dried or passivated; re-activate before plating on"
    if off and (over := off.over_s(now)) is not None and over > 0:
        pause = f"{write_time(off.ran_s(now))} without current since step {off.step}"
        allowed = f"{write_time(off.limit_s or 0)} allowed"
        yield Departure.CURRENT_OFF, f"{pause}, {allowed}: the surface may be passive; re-activate"
    if cautions_due(state, step):
        yield Departure.NOT_CONFIRMED, f"step {step.number} has cautions that were not confirmed before it"
    for question in early_questions(state, step):
        yield Departure.NOT_ANSWERED, f"{question.asked.ask!r} was not answered before entry"


def _at_leaving(state: BatchState, now: Moment) -> Iterator[Found]:
    """Departures that lifting out shows: too early, too late, a check that nobody answered."""
    step, run, plan = state.step, state.run, state.opened.plan
    assert step is not None and run is not None
    done = progress(step, run, now, plan.overstay_share)
    if done.left_s is not None and done.left_s > plan.handling_s:
        yield Departure.EARLY, f"{write_time(done.left_s)} before its time{_thickness(step, done)}"
    elif done.must_s is not None and done.must_s < -plan.handling_s:
        yield Departure.LATE, f"{write_time(-done.must_s)} past its latest time{_thickness(step, done)}"
    for question in unanswered(state, run, ("during",)):
        yield Departure.NOT_ANSWERED, f"{question.asked.ask!r} was not answered in the step"


def _thickness(step: PlannedStep, done: Progress) -> str:
    if done.mean_um is None or step.mean_thickness_um is None:
        return ""
    mean = write(done.mean_um, Kind.THICKNESS)
    return f"; mean about {mean} of {write(step.mean_thickness_um, Kind.THICKNESS)}"


def _of_density(step: PlannedStep, density_a_dm2: float, amps: float) -> Iterator[Found]:
    """A current outside the window in which the deposit keeps its character."""
    low, high = step.density_low_a_dm2, step.density_high_a_dm2
    if low is not None and density_a_dm2 < low:
        edge = f"under {write(low, Kind.DENSITY)}"
    elif high is not None and density_a_dm2 > high:
        edge = f"over {write(high, Kind.DENSITY)}"
    else:
        return
    yield (
        Departure.OUTSIDE,
        f"{write(amps, Kind.CURRENT)} on the meter is {write(density_a_dm2, Kind.DENSITY)}, {edge}",
    )


def _outside(check: PlannedCheck, value: float) -> Iterator[Found]:
    """A value outside what the check allows."""
    unit = f" {check.unit}" if check.unit else ""
    if check.low is not None and value < check.low:
        yield Departure.OUTSIDE, f"{shown(check.ask)}: {value:g}{unit}, under {check.low:g}{unit}"
    elif check.high is not None and value > check.high:
        yield Departure.OUTSIDE, f"{shown(check.ask)}: {value:g}{unit}, over {check.high:g}{unit}"


def _of_choice(check: PlannedCheck, choice: str) -> Iterator[Found]:
    """A state that is not in order."""
    if choice not in check.accept:
        yield Departure.NOT_ACCEPTED, f"{shown(check.ask)}: {shown(choice)}"


def _of_count(state: BatchState, event: ev.ChargeRead, now: Moment) -> Iterator[Found]:
    """An ampere-hour count that fell, or that means a density outside the window since the last one."""
    step, run, ah = state.opened.plan.step(event.step), state.runs[-1], event.ah
    counts = [(r.ah, r.moment) for r in run.readings if r.ah is not None]
    last_ah, since = counts[-1] if counts else (0.0, run.entered)
    if ah < last_ah:
        yield (
            Departure.COUNT_FELL,
            f"{ah:g} A·h after {last_ah:g} A·h: the counter was set back or misread",
        )
        return
    seconds = counted_time_s(step, run, now) - counted_time_s(step, run, since)
    if seconds >= SHORTEST_COUNT_S:
        yield from _of_amps(step, (ah - last_ah) * 3600 / seconds, event.in_tank_dm2)


def _at_interruption(step: PlannedStep, where: Where) -> Iterator[Found]:
    """Current lost in the middle of a deposit, or a rack lifted out of a wet step."""
    if step.energised or (step.tank and where is Where.LIFTED):
        hint = (
            ": interrupted nickel is passive and interrupted chromium has lost its cover; re-activate"
            if (step.metal in {"nickel", "chromium"})
            else ""
        )
        yield Departure.INTERRUPTED, f"{where}{hint}"
