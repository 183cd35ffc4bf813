"""What may be plated on what?

Owns the table of bonds: for each kind of plating solution and each metal on top, whether the deposit holds,
and how freshly activated the surface must be. What the table does not name is not known. Must not follow a
part through its route.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from runner.plating.effects_table import effect
from runner.plating.families import ALUMINIUM, COPPERS, DIE_CAST, LEADED, STAINLESS, STEELS, ZINCATE
from runner.plating.severity import Severity
from runner.plating.sources import Known, Source

Fresh = Literal["must", "should", "no"]
"""Whether the metal must be active (or the deposit peels), should be (or it may), or need not be."""


@dataclass(frozen=True, slots=True)
class Bond:
    """One row of the table.

    Attributes:
        onto: Names of solutions or of their groups.
        metals: What is on top.
        fresh: How active it has to be.
        severity: None where the deposit holds.
        why: Of the severity.
        source: Where that is known from.
    """

    onto: frozenset[str]
    metals: frozenset[str]
    source: Source
    fresh: Fresh = "no"
    severity: Severity | None = None
    why: str = ""


_PRACTICE = Source("what platers hold of adhesion", Known.PRACTICE)
_B252 = Source("ASTM B252", Known.MEMORY)
_B253 = Source("ASTM B253: copper cyanide or nickel strike on the zincate", Known.MEMORY)
_B254 = Source("ASTM B254, section 3: the film re-forms quickly, a strike is needed", Known.READ)
_B281 = Source("ASTM B281: a strike for leaded alloys", Known.MEMORY)

_PLAIN_COPPERS = COPPERS - {LEADED}
_NICKEL = frozenset({"nickel"})
_STAINLESS = frozenset({STAINLESS})
_LEADED = frozenset({LEADED})
_ZINCATE = frozenset({ZINCATE})
_ALUMINIUM = frozenset({ALUMINIUM})
_ZINCS = frozenset({DIE_CAST, "zinc"})
_CHROMIUM = frozenset({"chromium"})

_NICKELS = frozenset({"nickel"})
_STRIKE = frozenset({"nickel strike"})
_ACID_COPPER = frozenset({"acid copper"})
_CYANIDE = frozenset({"cyanide"})
_ALKALINE_COPPER = frozenset({"copper without cyanide"})
_DECORATIVE = frozenset({"hexavalent-chromium", "trivalent-chromium"})
_HARD = frozenset({"hard-chromium"})
_ZINC = frozenset({"zinc"})
_ALL = (
    _NICKELS
    | _STRIKE
    | _ACID_COPPER
    | _CYANIDE
    | _ALKALINE_COPPER
    | _ZINC
    | frozenset({"chromic acid", "trivalent chromium"})
)

_SPOIL, _DOUBT = Severity.SPOIL, Severity.DOUBT

_NOTHING_ON_CHROMIUM = "nothing holds on chromium: it is passive the moment it is out of its tank"
_IMMERSION = "copper comes out by exchange before any current flows, and that copper peels"
_EATEN = "the acid bath dissolves the metal while it plates, and the deposit blisters"
_OXIDE = "its oxide skin is back in seconds and the deposit peels like foil"
_NO_STRIKE = "it heals its film in seconds: an acid nickel strike comes first"
_LEAD = "lead at the surface keeps the deposit from holding: strike copper first"
_ONLY_NICKEL = "chromium of this kind goes on active nickel or stainless steel and on nothing else"

BONDS: tuple[Bond, ...] = (
    Bond(_ALL, _CHROMIUM, _PRACTICE, severity=_SPOIL, why=_NOTHING_ON_CHROMIUM),
    Bond(_ALL, _ALUMINIUM, _B253, severity=_SPOIL, why=_OXIDE),
    Bond(_NICKELS, STEELS | _PLAIN_COPPERS | _NICKEL, _PRACTICE, "must"),
    Bond(_NICKELS, _LEADED, _B281, "must", _DOUBT, _LEAD),
    Bond(_NICKELS, _STAINLESS, _B254, "must", _DOUBT, _NO_STRIKE),
    Bond(frozenset({"sulfamate-nickel"}), _ZINCATE, _B253, severity=_DOUBT,
         why="only a nickel made for zincate leaves it whole"),
    Bond(_NICKELS | _STRIKE | _ACID_COPPER, _ZINCS | _ZINCATE, _B252, severity=_SPOIL, why=_EATEN),
    Bond(_STRIKE, STEELS | _STAINLESS | _PLAIN_COPPERS | _NICKEL, _PRACTICE, "should"),
    Bond(_STRIKE, _LEADED, _B281, "should", _DOUBT, _LEAD),
    Bond(_ACID_COPPER, STEELS | _STAINLESS, _PRACTICE, severity=_SPOIL, why=_IMMERSION),
    Bond(_ACID_COPPER, _NICKEL, _PRACTICE, "must"),
    Bond(_ACID_COPPER, _PLAIN_COPPERS, _PRACTICE, "should"),
    Bond(_ACID_COPPER, _LEADED, _B281, "should", _DOUBT, _LEAD),
    Bond(frozenset({"cyanide-copper"}), _ZINCS | _ZINCATE, _B252, severity=_SPOIL,
         why="a fast hot bath blisters on bare zinc: a strike with live entry comes first"),
    Bond(frozenset({"cyanide-copper"}), STEELS, _PRACTICE, severity=_DOUBT,
         why="a strike comes first, or copper comes out by exchange"),
    Bond(_CYANIDE, STEELS | COPPERS | _ZINCATE, _PRACTICE),
    Bond(_CYANIDE, _ZINCS, _B252, "should"),
    Bond(_CYANIDE, _NICKEL, _PRACTICE, "must"),
    Bond(_CYANIDE | _ALKALINE_COPPER, _STAINLESS, _B254, "must", _DOUBT, _NO_STRIKE),
    Bond(_ALKALINE_COPPER, STEELS | COPPERS, _PRACTICE, "should"),
    Bond(_ALKALINE_COPPER, _NICKEL, _PRACTICE, "must"),
    Bond(_ALKALINE_COPPER, _ZINCS | _ZINCATE, _PRACTICE, "should", _DOUBT,
         "whether it holds on zinc its supplier's sheet must say"),
    Bond(_DECORATIVE | _HARD, _NICKEL | _STAINLESS, _PRACTICE, "must"),
    Bond(_DECORATIVE, STEELS | COPPERS | _ZINCS | _ZINCATE, _PRACTICE, severity=_SPOIL, why=_ONLY_NICKEL),
    Bond(_HARD, STEELS, _PRACTICE, "must"),
    Bond(_HARD, COPPERS, _PRACTICE, "must", _DOUBT, "hard chromium goes on etched steel or on nickel"),
    Bond(_HARD, _ZINCS | _ZINCATE, _PRACTICE, severity=_SPOIL, why=_EATEN),
    Bond(_ZINC, STEELS, _PRACTICE, "must"),
    Bond(_ZINC, frozenset({"zinc"}), _PRACTICE, "should"),
    Bond(_ZINC, COPPERS | _NICKEL, _PRACTICE, "should"),
    Bond(_ZINC, _STAINLESS, _B254, "must", _DOUBT, _NO_STRIKE),
)  # fmt: skip
"""The first row that fits counts."""


def bond(solution: str, metal: str) -> Bond | None:
    """The row for plating from a solution onto a metal, or None where nobody has said."""
    row = effect(solution)
    names = {solution, row.group} if row else {solution}
    return next((bond for bond in BONDS if metal in bond.metals and names & bond.onto), None)
