"""What was seen and read in a step on paper, with what was asked for and every figure that was put right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from runner.batch.state import Answer, Correction, Reading, StepRun
from runner.procedure.sheet import PlannedCheck, PlannedStep
from runner.record.report.figures import NONE, Figures, clock, when
from runner.record.report.rows import outside
from runner.units import Kind


@dataclass(frozen=True, slots=True)
class Seen:
    """One check with what was asked for and seen.

    Attributes:
        by: Where that was not who walked the step.
        was: What stood there before it was corrected, each with reason, who and when.
    """

    ask: str
    asked_for: str
    seen: str
    at: str
    by: str
    off: str
    was: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Read:
    """One reading of a meter."""

    at: str
    meter: str
    share: str
    off: str
    was: tuple[str, ...] = ()


def checks(
    step: PlannedStep, run: StepRun, figures: Figures, names: Mapping[str, str], *, last: bool
) -> Iterator[Seen]:
    """Every answer, and of the last time through a step what was never answered."""
    given = {answer.check for answer in run.answers}
    for answer in run.answers:
        check = step.checks[answer.check]
        yield Seen(
            ask=check.ask,
            asked_for=asked_for(check, figures),
            seen=seen(check, answer, figures),
            at=clock(answer.moment),
            by="" if answer.who == run.who else names.get(answer.who, answer.who),
            off="" if in_order(check, answer) or _shared(check, answer, run) else "not in order",
            was=_corrections(answer.was, names),
        )
    for index, check in enumerate(step.checks):
        if index not in given and last:
            yield Seen(check.ask, asked_for(check, figures), "not answered", "", "", "missing")


def _shared(check: PlannedCheck, answer: Answer, run: StepRun) -> bool:
    """Whether an ammeter's answer was of several racks: its limits, of this rack alone, say nothing."""
    beside = [one for one in run.readings if one.moment == answer.moment and one.amps is not None]
    return check.reads == "current" and any(one.in_tank_dm2 is not None for one in beside)


def asked_for(check: PlannedCheck, figures: Figures) -> str:
    """What a check wanted to see."""
    if check.choices:
        return " / ".join(check.accept)
    low, high = (None if one is None else figures.in_unit(one, check.unit) for one in (check.low, check.high))
    if low is not None and high is not None:
        return f"{low} to {high}"
    if low is not None or high is not None:
        return f"from {low}" if low is not None else f"up to {high}"
    return NONE if check.planned is None else f"planned {figures.in_unit(check.planned, check.unit)}"


def seen(check: PlannedCheck, answer: Answer, figures: Figures) -> str:
    """What was seen, as it was entered."""
    return str(answer.choice) if answer.value is None else figures.in_unit(answer.value, check.unit)


def in_order(check: PlannedCheck, answer: Answer) -> bool:
    """Whether an answer lies in what the check allows."""
    if answer.value is None:
        return answer.choice in check.accept
    too_low = check.low is not None and answer.value < check.low
    return not too_low and not (check.high is not None and answer.value > check.high)


def readings(step: PlannedStep, run: StepRun, figures: Figures, names: Mapping[str, str]) -> Iterator[Read]:
    """Every reading of the step's meters, with the density that it means for this rack."""
    for one in run.readings:
        figure, kind = (one.ah, Kind.CHARGE) if one.amps is None else (one.amps, Kind.CURRENT)
        density = _density_of(step, one)
        share = NONE if density is None else figures.of(density, Kind.DENSITY)
        if one.in_tank_dm2 is not None:
            share += f", with {figures.of(one.in_tank_dm2, Kind.AREA)} in the tank"
        off = "outside" if density is not None and outside(step, density) else ""
        yield Read(clock(one.moment), figures.of(figure, kind), share, off, _corrections(one.was, names))


def _density_of(step: PlannedStep, reading: Reading) -> float | None:
    area = reading.in_tank_dm2 or step.energised_dm2
    return reading.amps / area if reading.amps is not None and area else None


def _corrections(was: tuple[Correction, ...], names: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(
        f"was {one.was}; corrected {when(one.moment)} by {names.get(one.who, one.who)}: {one.reason}"
        for one in was
    )
