"""What goes wrong at a step, and how that is known: for whoever asks why.

Owns the choice of sentences from the tables of the trade (what is carried over, eaten, does not hold, dries)
that fit one step of a plan. Must not judge the route, as the rules do: it tells what the step guards against.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.adhesion import bond
from runner.plating.carryover import UNDILUTED, carry
from runner.plating.effects_table import effect
from runner.plating.sources import Known
from runner.procedure.sheet import Plan, PlannedStep
from runner.text import shown
from runner.units import Kind, write, write_time


def goes_wrong(plan: Plan, step: PlannedStep) -> Iterator[tuple[str, str]]:
    """What goes wrong at a step, each sentence with how it is known, the worst for people first."""
    if step.does == "rinse":
        yield from _not_rinsed(plan, step)
    elif step.solution:
        yield from _in_tank(plan, step)
    yield from _time(step)
    for warning in step.warnings:
        yield shown(warning), str(Known.COMPUTED)


def _not_rinsed(plan: Plan, step: PlannedStep) -> Iterator[tuple[str, str]]:
    """What the film of the tank before would do in the tank after, were the rinse left out."""
    before = next((one for one in reversed(plan.steps[: step.number - 1]) if _working(one)), None)
    after = next((one for one in plan.steps[step.number :] if _working(one)), None)
    if before is None or after is None or not before.solution or not after.solution:
        return
    row = carry(before.solution, after.solution)
    if row is not None and row.what:
        names = f"{shown(before.tank_title or '', 30)} into {shown(after.tank_title or '', 30)}"
        dilution = f", so it is thinned {row.ratio:g} times at least" if row.ratio > UNDILUTED else ""
        yield f"Left out, {names}: {row.what}{dilution}.", str(row.source.known)


def _in_tank(plan: Plan, step: PlannedStep) -> Iterator[tuple[str, str]]:
    on_top = next((one.metal for one in reversed(plan.steps[: step.number - 1]) if one.metal), None)
    metals = (on_top,) if on_top else plan.basis
    row = effect(step.solution or "")
    for metal in metals:
        if row is not None and (attack := row.attack_on(metal)):
            yield f"On {metal}: {attack.what}.", str(attack.source.known)
        holds = bond(step.solution or "", metal) if step.metal else None
        if holds is not None and holds.why:
            yield f"On {metal}: {holds.why}.", str(holds.source.known)
        elif holds is not None and holds.fresh == "must":
            yield f"On {metal} that is not freshly active the deposit peels.", str(holds.source.known)
    if step.metal:
        yield from _by_current(plan, step)
    if step.temperature_low_c is not None and step.temperature_high_c is not None:
        low = write(step.temperature_low_c, Kind.TEMPERATURE, plan.units)
        high = write(step.temperature_high_c, Kind.TEMPERATURE, plan.units)
        slow = "burns and pits sooner" if step.metal else "works slowly or not at all"
        yield f"Under {low} it {slow}; over {high} it fumes, and spoils itself.", str(Known.PRACTICE)


def _by_current(plan: Plan, step: PlannedStep) -> Iterator[tuple[str, str]]:
    low, high = step.density_low_a_dm2, step.density_high_a_dm2
    if low is not None and high is not None:
        window = (
            f"under {write(low, Kind.DENSITY, plan.units)}",
            f"over {write(high, Kind.DENSITY, plan.units)}",
        )
        yield f"Dull or no cover {window[0]}; burnt edges {window[1]}.", str(Known.PRACTICE)
    if step.follows == "clock":
        yield (
            "Low current here is lost cover, not slow cover: time does not make it good.",
            str(Known.PRACTICE),
        )


def _time(step: PlannedStep) -> Iterator[tuple[str, str]]:
    if step.tank and step.dwell_s is not None:
        late = {
            "plate": "deposit too thick, rough or burnt at the edges",
            "strike": "a thick strike is brittle",
            "rinse": "wet metal goes passive or rusts under water too",
        }.get(step.does, "metal etched, smut, or a film that the next layer will not hold on")
        yield f"Left in too long: {late}.", str(Known.PRACTICE)
    if step.next_within_s is not None:
        within = write_time(step.next_within_s)
        yield (
            f"Out for longer than {within}: it dries or goes passive, and the next layer peels.",
            str(Known.PRACTICE),
        )
    if step.current_within_s is not None:
        within = write_time(step.current_within_s)
        yield (
            f"Without current for longer than {within}: passive, and the next layer peels.",
            str(Known.PRACTICE),
        )


def _working(step: PlannedStep) -> bool:
    return step.solution is not None and step.does != "rinse"
