"""What goes wrong in a practice walk: plan and seed in, faults out.

Owns which faults there are, what each shows, what is to be done about it and why it matters, and where in a
route each may come. Pure: the same plan and seed give the same faults on every machine; must not look at a
clock, nor at chance beyond the seed. Nothing of it happens to any part.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from runner.procedure.sheet import Plan, PlannedStep
from runner.text import shown
from runner.units import Kind, System, write

T = TypeVar("T")

EARLIEST, LATEST = 0.2, 0.6
"""Share of a step's time after which its fault shows: it is in by then, and a hand has time left to act."""

LEAST_DWELL_S = 15.0
"""Shortest step that a fault comes in: nobody notices one in less (common practice)."""

DROPS_TO, COOLER_BY_C = (0.45, 0.65), (6.0, 10.0)
"""How far the current falls, as a share, and the bath below its window, in °C (invented for practice)."""

HEATED_FROM_C = 25.0
"""A bath whose window begins here is heated, and can be found cold (common practice)."""


class Trouble(StrEnum):
    """What may go wrong; the words are those that a trainee chooses from."""

    CURRENT = "the current has dropped"
    COLD = "the bath is too cold"
    BURNT = "an edge is burning"
    NO_RINSE = "the rinse was left out"
    PHONE = "the phone rings"


@dataclass(frozen=True, slots=True)
class Lesson:
    """One row of the table of faults; all of it common practice.

    Attributes:
        right: What to do about it.
        wrong: What looks like an answer and is none.
        matters: Why it matters, in a sentence or two.
    """

    right: str
    wrong: tuple[str, ...]
    matters: str


KNOWN = "common practice"
"""How the lessons are known; where a step can hurt, the supplier's data sheet goes before them."""

LESSONS: dict[Trouble, Lesson] = {
    Trouble.CURRENT: Lesson(
        "look at contacts, set it again, note the reading",
        ("leave it in by the old time", "lift it out and go on to the next tank"),
        "Less current lays down less metal, and chromium then does not cover at all. "
        "A timer that goes on by the old figure releases a thin part.",
    ),
    Trouble.COLD: Lesson(
        "tell the chargehand, have it heated, look at the parts",
        ("raise the current to make up for it", "leave it, it warms up by itself"),
        "A cold bath burns at a current that it bears when warm, and a cold cleaner leaves grease on. "
        "The part looks right until it peels.",
    ),
    Trouble.BURNT: Lesson(
        "lower the current, look at spacing, report it",
        ("leave it, polishing takes it off", "raise the current to even it out"),
        "A burnt edge is rough and brittle, and the next layer shows or sheds it. "
        "It grows as long as the current stays.",
    ),
    Trouble.NO_RINSE: Lesson(
        "rinse it now, before the next tank",
        ("go on, the next tank rinses it", "wipe it dry with a rag"),
        "What clings to the rack goes into the next tank: it spoils the bath, "
        "and some pairs free a gas that kills.",
    ),
    Trouble.PHONE: Lesson(
        "let it ring; the rack goes first",
        ("answer it, the timer is running anyway", "lift the rack out early, then answer"),
        "A call takes minutes and the thread with them: most forgotten steps follow an interruption. "
        "Where it cannot wait, pause and say where the rack is.",
    ),
}


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of a practice walk.

    Attributes:
        step: Number of the step it comes in, counted from 1.
        after_s: Seconds from entry until it shows.
        trouble: What it is.
        meter: What the ammeter, the thermometer or the part shows then, in words.
        share: For the current: what is left of it; 1 for every other fault.
    """

    step: int
    after_s: float
    trouble: Trouble
    meter: str
    share: float = 1.0


def schedule(plan: Plan, seed: int) -> tuple[Fault, ...]:
    """The faults of a practice walk, at most one a step, in the order of the steps.

    Each kind that the route has room for comes once.

    Args:
        plan: What is walked.
        seed: Chooses steps, moments and figures.
    """
    taken: set[int] = set()
    found: list[Fault] = []
    for trouble in _shuffled(tuple(Trouble), seed, "order"):
        places = [step for step in plan.steps if step.number not in taken and _fits(trouble, step, plan)]
        if not places:
            continue
        step = _shuffled(places, seed, trouble)[0]
        taken.add(step.number)
        found.append(_fault(trouble, step, plan, seed))
    return tuple(sorted(found, key=lambda fault: fault.step))


def shows(step: PlannedStep, fault: Fault | None, units: System) -> Iterator[str]:
    """What can be seen and read at a step, in words: the part, then its meters, with what a fault shows.

    Args:
        step: Under way.
        fault: Showing now, or None.
        units: To write figures in.
    """
    if fault and fault.trouble in {Trouble.BURNT, Trouble.NO_RINSE}:
        yield fault.meter
    elif step.does == "rinse":
        yield "water over the parts"
    elif step.energised:
        yield "part even"
    if step.current_a is not None:
        share = fault.share if fault else 1.0
        yield f"ammeter {write(step.current_a * share, Kind.CURRENT, units)}"
    low, high = step.temperature_low_c, step.temperature_high_c
    if fault and fault.trouble is Trouble.COLD:
        yield fault.meter
    elif low is not None and high is not None:
        yield f"bath {write((low + high) / 2, Kind.TEMPERATURE, units)}"


def answers(trouble: Trouble, seed: int) -> tuple[str, ...]:
    """What may be done about a trouble, in an order that does not give the right one away."""
    lesson = LESSONS[trouble]
    return tuple(_shuffled((lesson.right, *lesson.wrong), seed, f"answers {trouble}"))


def mixed(choices: Sequence[str], seed: int, word: str) -> tuple[str, ...]:
    """The choices of a question in an order of the seed's."""
    return tuple(_shuffled(choices, seed, word))


def _fits(trouble: Trouble, step: PlannedStep, plan: Plan) -> bool:
    """Whether a trouble can come in a step, and be seen there."""
    if step.tank is None or step.dwell_s is None or step.dwell_s < LEAST_DWELL_S:
        return False
    match trouble:
        case Trouble.CURRENT:
            return step.current_a is not None
        case Trouble.COLD:
            return (step.temperature_low_c or 0.0) >= HEATED_FROM_C and step.does != "rinse"
        case Trouble.BURNT:
            return step.metal is not None
        case Trouble.NO_RINSE:
            before = plan.steps[step.number - 2] if step.number > 1 else None
            return (
                step.does == "rinse"
                and before is not None
                and before.tank is not None
                and before.does != "rinse"
            )
        case Trouble.PHONE:
            return True


def _fault(trouble: Trouble, step: PlannedStep, plan: Plan, seed: int) -> Fault:
    dwell_s = step.dwell_s or 0.0
    # A rinse that was left out is seen from the first look; all else comes on the way.
    at = 0.0 if trouble is Trouble.NO_RINSE else _between(EARLIEST, LATEST, seed, f"when {trouble}")
    share = _between(*DROPS_TO, seed, "share") if trouble is Trouble.CURRENT else 1.0
    return Fault(
        step.number, round(dwell_s * at, 1), trouble, _meter(trouble, step, plan, seed), round(share, 3)
    )


def _meter(trouble: Trouble, step: PlannedStep, plan: Plan, seed: int) -> str:
    match trouble:
        case Trouble.CURRENT:
            return "the ammeter stands lower than it was set"
        case Trouble.COLD:
            cold_c = (step.temperature_low_c or 0.0) - _between(*COOLER_BY_C, seed, "cold")
            return f"bath {write(cold_c, Kind.TEMPERATURE, plan.units)}"
        case Trouble.BURNT:
            return "grey, rough at an edge"
        case Trouble.NO_RINSE:
            before = plan.steps[step.number - 2]
            return f"no water on the parts, drops of {shown(before.tank_title or before.name, 24)}"
        case Trouble.PHONE:
            return "the phone in the office rings"


def _between(low: float, high: float, seed: int, word: str) -> float:
    return low + (high - low) * _chance(seed, word)


def _shuffled(things: Sequence[T], seed: int, word: str) -> list[T]:
    """In an order that the seed gives: by hash, so that no release of a library changes it."""
    order = sorted(range(len(things)), key=lambda at: _chance(seed, f"{word} {at}"))
    return [things[at] for at in order]


def _chance(seed: int, word: str) -> float:
    """A figure from 0 to 1 that a seed and a word stand for."""
    return int.from_bytes(hashlib.sha256(f"{seed} {word}".encode()).digest()[:6]) / 2**48
