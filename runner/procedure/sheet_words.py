"""What was said of the parts at booking, in words.

Owns the labels and answers that screen, table and report have in common. What was not said is told as that,
so that nobody takes silence for a no.
"""

from __future__ import annotations

from runner.plating.families import IRONS
from runner.procedure.sheet import Plan
from runner.units import Kind, write

NOT_SAID = "not known"


def said_of_parts(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Label and answer of each, the strength only where a metal is one that hydrogen may break."""
    strength = NOT_SAID
    if plan.strength_mpa is not None:
        strength = write(plan.strength_mpa, Kind.STRENGTH, plan.units)
    asked = plan.strength_mpa is not None or not IRONS.isdisjoint(plan.basis)
    return (
        *((("strength", strength),) if asked else ()),
        ("closed hollows", yes_no(plan.hollow)),
        ("blind holes", yes_no(plan.blind)),
    )


def yes_no(answer: bool | None) -> str:  # noqa: FBT001  # the answer itself, no switch
    """An answer as it was given."""
    return NOT_SAID if answer is None else "yes" if answer else "no"
