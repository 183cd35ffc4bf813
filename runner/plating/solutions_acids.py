"""Which acid dips, pickles and activations are there, and how are they run?

Owns their rows. Must not know how they are looked up (`solutions`).
"""

from __future__ import annotations

from runner.plating import safety
from runner.plating.classes import ChemicalClass
from runner.plating.solution_row import Solution
from runner.plating.sources import Known, Source, Window

_PRACTICE = Source("at the warmth of the shop", Known.PRACTICE)
_B281 = Source("ASTM B281: 2 to 10 % by volume; weak here, under 15 % by mass", Known.MEMORY)
_B252 = Source("ASTM B252: 0.25 to 0.75 % by volume", Known.MEMORY)
_B183 = Source("ASTM B183: 10 to 50 % by volume", Known.MEMORY)
_LEADED = Source("ASTM B281, leaded alloys", Known.MEMORY)
_B253 = Source("ASTM B253: 50 % by volume", Known.MEMORY)
_NICKEL = Source("Metal Finishing Guidebook 2013, p. 156: aged nickel, 25 % by volume", Known.READ)
_STAINLESS = Source(
    "Metal Finishing Guidebook 2013, p. 312, its figures; that they belong to stainless", Known.MEMORY
)
_ETCH = Source(
    "Metal Finishing Guidebook 2013, p. 312, its figures; that they belong to high-carbon steel", Known.MEMORY
)
_B242 = Source("ASTM B242", Known.MEMORY)
_ACID = frozenset({ChemicalClass.ACID})

ACID_SOLUTIONS: tuple[Solution, ...] = (
    Solution(
        name="sulfuric-dip",
        title="Sulfuric acid dip, weak",
        source=_B281,
        safety=safety.WEAK_ACID,
        classes=_ACID,
        temperature_c=Window(15, 35, _PRACTICE),
    ),
    Solution(
        name="zinc-dip",
        title="Very weak acid dip for zinc die castings",
        source=_B252,
        safety=safety.WEAK_ACID,
        classes=_ACID,
        temperature_c=Window(15, 30, _PRACTICE),
    ),
    Solution(
        name="hydrochloric-pickle",
        title="Hydrochloric acid pickle",
        source=_B183,
        safety=safety.FUMING_ACID,
        classes=_ACID,
        temperature_c=Window(15, 35, _PRACTICE),
    ),
    Solution(
        name="fluoboric-dip",
        title="Fluoboric acid dip (leaded alloys)",
        source=_LEADED,
        safety=safety.FLUORIDE_ACID,
        classes=_ACID,
        temperature_c=Window(15, 30, _PRACTICE),
    ),
    Solution(
        name="nitric-desmut",
        title="Nitric acid desmut",
        source=_B253,
        safety=safety.NITRIC_ACID,
        classes=frozenset({ChemicalClass.ACID, ChemicalClass.OXIDISER}),
        temperature_c=Window(15, 30, _PRACTICE),
    ),
    Solution(
        name="nickel-activation",
        title="Anodic sulfuric activation of nickel",
        source=_NICKEL,
        safety=safety.STRONG_ACID,
        polarity=frozenset({"anodic"}),
        classes=_ACID,
        temperature_c=Window(15, 35, _PRACTICE),
        density_a_dm2=Window(1.6, 2.7, _NICKEL),
    ),
    Solution(
        name="stainless-activation",
        title="Cathodic sulfuric activation of stainless steel",
        source=_STAINLESS,
        safety=safety.STRONG_ACID,
        polarity=frozenset({"cathodic"}),
        classes=_ACID,
        temperature_c=Window(15, 35, _PRACTICE),
        density_a_dm2=Window(1, 5, Source("usual for the work", Known.PRACTICE)),
    ),
    Solution(
        name="steel-etch",
        title="Anodic sulfuric etch of strong steel",
        source=_ETCH,
        safety=safety.STRONG_ACID,
        polarity=frozenset({"anodic"}),
        classes=_ACID,
        temperature_c=Window(10, 30, Source(f"{_B242.text}: at most 30 °C", Known.MEMORY)),
        density_a_dm2=Window(10, 40, _ETCH),
    ),
)
