"""What does a solution do to a surface?

Owns the shape of that knowledge and the look-up by a solution's name; the rows stand in ``effects_wet`` and
``effects_plate``. A solution without a row is not known, and whoever asks says so. Must not judge a
procedure.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from runner.plating.severity import Severity
from runner.plating.sources import Source

Group = Literal[
    "alkali",
    "weak acid",
    "hydrochloric acid",
    "fluoride acid",
    "nitric acid",
    "strong sulfuric",
    "nickel",
    "nickel strike",
    "acid copper",
    "cyanide",
    "copper without cyanide",
    "chromic acid",
    "trivalent chromium",
    "zinc",
    "zincate",
    "passivate",
    "chromium strip",
    "bisulfite",
    "solvent",
    "hypochlorite",
    "sulfide",
    "water",
]
"""Solutions that are the same to the tank after them."""

Cleans = Literal["soak", "current", "no"]
"""How oil and handling come off: by lying in it, by current in it, or not at all."""


@dataclass(frozen=True, slots=True)
class Attack:
    """What a solution eats that it should not.

    Attributes:
        metals: Those attacked while they are on top.
        severity: How bad that is.
        what: What happens, as the end of a sentence.
        source: Where that is known from.
    """

    metals: frozenset[str]
    severity: Severity
    what: str
    source: Source


@dataclass(frozen=True, slots=True)
class Effect:
    """What one solution does to a surface.

    Attributes:
        solution: Name of its row in the solutions table.
        group: What it is to the tank after it.
        source: Of the row as a whole.
        cleans: How it takes soil off.
        activates: Metals whose film of oxide it takes off, so that a deposit holds.
        lifts: Covers such as rust that it takes off.
        attacks: What it eats.
        charges: Whether steel lying in it without current takes up hydrogen.
        alkaline: Whether what clings afterwards is alkaline.
    """

    solution: str
    group: Group
    source: Source
    cleans: Cleans = "no"
    activates: frozenset[str] = frozenset()
    lifts: frozenset[str] = frozenset()
    attacks: tuple[Attack, ...] = field(default=())
    charges: bool = False
    alkaline: bool = False

    def attack_on(self, metal: str) -> Attack | None:
        """What it does to a metal on top, or None where it leaves it alone."""
        return next((attack for attack in self.attacks if metal in attack.metals), None)
