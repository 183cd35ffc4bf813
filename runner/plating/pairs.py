"""Which chemical classes must never meet?

Owns the table of dangerous pairs: what comes of them and how far a film must be thinned first. Must not know
tanks, routes or floors.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.plating.classes import ChemicalClass
from runner.plating.sources import Known, Source

_CLP_032 = Source("EU CLP, EUH032; 29 CFR 1910.126(d) keeps acid from cyanide tanks", Known.MEMORY)
_CLP_031 = Source("EU CLP, EUH031: contact with acids liberates toxic gas", Known.MEMORY)
_EPA_CHART = Source("EPA-600/2-80-076, chart of incompatible wastes", Known.MEMORY)
_EPA_CHLORINATION = Source("EPA 625/10-85/001 on alkaline chlorination", Known.MEMORY)
_CLP_271 = Source("EU CLP, H271: strong oxidiser, may cause fire or explosion", Known.MEMORY)
_HANDBOOKS = Source("handbooks on chromium and acids", Known.MEMORY)


@dataclass(frozen=True, slots=True)
class Pair:
    """Two classes and what they make of each other.

    Attributes:
        one: A class.
        other: Another.
        gives: What happens, as a clause.
        danger_below: Thinned less than this a film is a danger; one that no rinse has met always is.
        doubt_below: A film thinned less than this is in doubt.
        neighbours: Whether their tanks may not stand side by side either.
        source: Where that is known from.
    """

    one: ChemicalClass
    other: ChemicalClass
    gives: str
    source: Source
    danger_below: float = 1
    doubt_below: float = 50
    neighbours: bool = True

    def against(self, kind: ChemicalClass) -> ChemicalClass | None:
        """The class that one of the two must not meet, or None where it is neither."""
        if kind is self.one:
            return self.other
        return self.one if kind is self.other else None


_C = ChemicalClass

PAIRS: tuple[Pair, ...] = (
    Pair(_C.ACID, _C.CYANIDE, "acid frees hydrogen cyanide, a gas that kills", _CLP_032, 100, 1000),
    Pair(_C.ACID, _C.HYPOCHLORITE, "acid frees chlorine, which chokes", _CLP_031, 100, 1000),
    Pair(_C.ACID, _C.SULFIDE, "acid frees hydrogen sulfide, a gas that kills", _CLP_031, 100, 1000),
    # Chromium's rinses lead to the neutraliser on most floors: neighbours they may be.
    Pair(_C.ACID, _C.BISULFITE, "acid frees sulfur dioxide, which chokes", _CLP_031, neighbours=False),
    Pair(_C.HYPOCHLORITE, _C.CYANIDE, "below pH 10 they make cyanogen chloride, a gas that kills",
         _EPA_CHLORINATION, 100, 1000),
    Pair(_C.HYPOCHLORITE, _C.BISULFITE, "they heat each other and free choking gas", _EPA_CHART, 100, 1000),
    Pair(_C.HYPOCHLORITE, _C.AMMONIACAL, "they make chloramines, which choke", _EPA_CHART, 100, 1000),
    Pair(_C.HYPOCHLORITE, _C.ORGANIC, "they react with heat and give toxic vapour", _EPA_CHART),
    Pair(_C.OXIDISER, _C.ORGANIC, "chromic and nitric acid set solvent, oil and rags on fire", _CLP_271),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Film:
    """A film that no tank of another kind may be entered with undiluted; both by their group."""

    of: frozenset[str]
    into: frozenset[str]
    gives: str
    source: Source


FILMS: tuple[Film, ...] = (
    Film(
        frozenset({"hydrochloric acid", "nickel strike"}),
        frozenset({"chromic acid"}),
        "hydrochloric acid in chromic acid frees chlorine and chromyl chloride",
        _HANDBOOKS,
    ),
    Film(
        frozenset({"chromium strip", "zincate"}),
        frozenset({"strong sulfuric"}),
        "strong caustic and strong acid boil where they meet",
        _EPA_CHART,
    ),
)

SHARED_ABOVE = 0.001
"""A film stronger than this share of its bath makes the water it goes into a tank of its class."""
