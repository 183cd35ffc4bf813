"""How long does a surface wait before it dries or goes passive?

Owns those times. They are practice, and a shop that knows better writes its own limits into the step. Must
not know a route.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.plating.families import COPPERS, DIE_CAST, STAINLESS, STEELS, ZINCATE
from runner.plating.sources import Figure, Known, Source

_WAITS = Source("what platers hold of waiting: from off to on, rinses included", Known.PRACTICE)


@dataclass(frozen=True, slots=True)
class Wait:
    """How long a metal stays active, wet, before the next deposit.

    Attributes:
        metals: On top.
        into: Groups of the next bath; empty for any.
        doubt_s: Longer is doubt.
        ruin_s: Longer is ruin; None where it stays doubt.
        source: Of the figures.
    """

    metals: frozenset[str]
    into: frozenset[str]
    doubt_s: float
    ruin_s: float | None
    source: Source = _WAITS


WAITS: tuple[Wait, ...] = (
    Wait(frozenset({"nickel"}), frozenset({"chromic acid", "trivalent chromium"}), 300, 900),
    Wait(frozenset({"nickel"}), frozenset({"nickel", "acid copper"}), 300, 1800),
    Wait(frozenset({STAINLESS}), frozenset(), 60, 300),
    Wait(frozenset({ZINCATE}), frozenset(), 120, 600),
    Wait(frozenset({DIE_CAST, "zinc"}), frozenset(), 180, 1800),
    Wait(STEELS, frozenset(), 300, 1800),
    Wait(COPPERS, frozenset(), 900, None),
)


def wait(metal: str, into: str) -> Wait | None:
    """The row for a metal on its way to a bath, or None where nothing is known."""
    return next((row for row in WAITS if metal in row.metals and (not row.into or into in row.into)), None)


DRIES_IN_S = Figure(120, "s, wet and cold", Source("what platers hold of wet racks in air", Known.PRACTICE))
DRIES_HOT_IN_S = Figure(
    60, "s, from a hot tank", Source("what platers hold of hot racks in air", Known.PRACTICE)
)
