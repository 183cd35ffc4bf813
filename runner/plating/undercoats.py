"""How thick must the layer below be before a bath that would eat the basis?

Owns the least thicknesses of strikes and undercoats. Must not know a route. A thickness here is a minimum
on the significant surface, as procedures state it.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.plating.families import ALUMINIUM, DIE_CAST, IRONS
from runner.plating.sources import Known, Source


@dataclass(frozen=True, slots=True)
class Undercoat:
    """One row: what lies between a basis and an acid bath.

    Attributes:
        basis: What is to be covered.
        into: Groups of the acid bath.
        ruin_um: Under this it is ruin.
        doubt_um: Under this it is doubt.
        iso_um: Under this it is doubt where an ISO designation is claimed; None without such a figure.
        what: What happens.
        source: Of the figures.
    """

    basis: frozenset[str]
    into: frozenset[str]
    ruin_um: float
    doubt_um: float
    what: str
    source: Source
    iso_um: float | None = None


UNDERCOATS: tuple[Undercoat, ...] = (
    Undercoat(
        frozenset({DIE_CAST}),
        frozenset({"nickel", "nickel strike", "acid copper", "zinc"}),
        2.5,
        5.0,
        "the acid bath goes through thin copper and eats the zinc under it, which blisters",
        Source(
            "5 µm after ASTM B456, 8 µm after ISO 1456 (from memory); Metal Finishing Guidebook "
            "2012-13, p. 171, "
            "prints 0.08 to 0.14 mil of copper before nickel; 2.5 µm as the end of it",
            Known.PRACTICE,
        ),
        iso_um=8.0,
    ),
    Undercoat(
        frozenset({ALUMINIUM}),
        frozenset({"nickel", "nickel strike", "acid copper", "zinc"}),
        2.0,
        3.0,
        "the acid bath goes through thin copper and eats the zincate under it, which lifts",
        Source(
            "Metal Finishing Guidebook, p. 199, Table II: 3 to 5 µm on zincated aluminium; 2 µm as "
            "the end of it",
            Known.READ,
        ),
    ),
    Undercoat(
        IRONS,
        frozenset({"acid copper"}),
        1.0,
        2.0,
        "acid copper comes out by exchange through the pores of a thin strike, and peels there",
        Source("an acid nickel strike on steel wants about 2 µm", Known.PRACTICE),
    ),
)
