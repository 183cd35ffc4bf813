"""How a fact departs from the plan: each departure found becomes a deviation beside the fact.

Owns the comparisons of what happened with what was planned. A fact is never refused here; it is taken
as it is, and what is wrong with it is written down with it.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.batch.clocks import current_off, out_of_tank
from runner.batch.events import Departure, Where
from runner.batch.moment import Moment
from runner.batch.questions import cautions_due, early_questions, open_questions
from runner.batch.state import BatchState, StepRun
from runner.batch.timer import Progress, counted_time_s, progress
from runner.procedure.sheet import PlannedCheck, PlannedStep
from runner.text import shown
from runner.units import Kind, write, write_time

Found = tuple[str, str]
"""What kind of departure (a `Departure`, or words for one reported by hand), and its detail."""

SHORTEST_COUNT_S = 60.0
"""Over less than this a counter's own resolution says more than the current did (common practice)."""


def at_entry(state: BatchState, now: Moment) -> Iterator[Found]:
    """Departures that entering the next step shows: the way there, and what was not asked before."""
    step = state.opened.plan.step(state.next_step)
    out, off = out_of_tank(state), current_off(state)
    if out and (over := out.over_s(now)) is not None and over > 0:
        way = (
            f"{write_time(out.ran_s(now))} out after step {out.step}, {write_time(out.limit_s or 0)} allowed"
        )
        yield Departure.TRANSFER, f"{way}: it may have dried or passivated; re-activate before plating on"
    if step.energised and off and (over := off.over_s(now)) is not None and over > 0:
        pause = f"{write_time(off.ran_s(now))} without current since step {off.step}"
        allowed = f"{write_time(off.limit_s or 0)} allowed"
        yield Departure.CURRENT_OFF, f"{pause}, {allowed}: the surface may be passive; re-activate"
    if cautions_due(state, step):
        yield Departure.NOT_CONFIRMED, f"step {step.number} has cautions that were not confirmed before it"
    for question in early_questions(state, step):
        yield Departure.NOT_ANSWERED, f"{question.asked.ask!r} was not answered before entry"


def at_leaving(state: BatchState, now: Moment) -> Iterator[Found]:
    """Departures that lifting out shows: too early, too late, a check that nobody answered."""
    step, run, plan = state.step, state.run, state.opened.plan
    assert step is not None and run is not None
    done = progress(step, run, now, plan.overstay_share)
    if done.left_s is not None and done.left_s > plan.handling_s:
        yield Departure.EARLY, f"{write_time(done.left_s)} before its time{_thickness(step, done)}"
    elif done.must_s is not None and done.must_s < -plan.handling_s:
        yield Departure.LATE, f"{write_time(-done.must_s)} past its latest time{_thickness(step, done)}"
    for question in open_questions(state):
        if question.step == run.step and question.asked.when == "during":
            yield Departure.NOT_ANSWERED, f"{question.asked.ask!r} was not answered in the step"


def _thickness(step: PlannedStep, done: Progress) -> str:
    if done.mean_um is None or step.mean_thickness_um is None:
        return ""
    mean = write(done.mean_um, Kind.THICKNESS)
    return f"; mean about {mean} of {write(step.mean_thickness_um, Kind.THICKNESS)}"


def of_density(step: PlannedStep, density_a_dm2: float, amps: float) -> Iterator[Found]:
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


def of_value(check: PlannedCheck, value: float) -> Iterator[Found]:
    """A value outside what the check allows."""
    unit = f" {check.unit}" if check.unit else ""
    if check.low is not None and value < check.low:
        yield Departure.OUTSIDE, f"{shown(check.ask)}: {value:g}{unit}, under {check.low:g}{unit}"
    elif check.high is not None and value > check.high:
        yield Departure.OUTSIDE, f"{shown(check.ask)}: {value:g}{unit}, over {check.high:g}{unit}"


def of_choice(check: PlannedCheck, choice: str) -> Iterator[Found]:
    """A state that is not in order."""
    if choice not in check.accept:
        yield Departure.NOT_ACCEPTED, f"{shown(check.ask)}: {shown(choice)}"


def of_count(
    step: PlannedStep, run: StepRun, ah: float, in_tank_dm2: float | None, now: Moment
) -> Iterator[Found]:
    """An ampere-hour count that fell, or that means a density outside the window since the last one."""
    counts = [(r.ah, r.moment) for r in run.readings if r.ah is not None]
    last_ah, since = counts[-1] if counts else (0.0, run.entered)
    if ah < last_ah:
        yield (
            Departure.COUNT_FELL,
            f"{ah:g} A·h after {last_ah:g} A·h: the counter was set back or misread",
        )
        return
    seconds = counted_time_s(step, run, now) - counted_time_s(step, run, since)
    area = in_tank_dm2 or step.energised_dm2
    if area and seconds >= SHORTEST_COUNT_S:
        amps = (ah - last_ah) * 3600 / seconds
        yield from of_density(step, amps / area, amps)


def at_interruption(step: PlannedStep, where: Where) -> Iterator[Found]:
    """Current lost in the middle of a deposit, or a rack lifted out of a wet step."""
    if step.energised or (step.tank and where is Where.LIFTED):
        hint = (
            ": interrupted nickel is passive and interrupted chromium has lost its cover; re-activate"
            if (step.metal in {"nickel", "chromium"})
            else ""
        )
        yield Departure.INTERRUPTED, f"{where}{hint}"
