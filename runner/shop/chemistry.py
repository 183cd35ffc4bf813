"""Of which chemical classes is what stands in a tank?

Owns the answer: the classes of the solution's row, and those that the shop's own list of contents names. A
zincate with cyanide in it is a cyanide tank, whatever its row says. Must not judge what may meet.
"""

from __future__ import annotations

import re

from runner.plating.classes import ChemicalClass
from runner.shop.model import Tank
from runner.shop.tank_figures import solution_of

CONTENT_WORDS: tuple[tuple[ChemicalClass, re.Pattern[str]], ...] = tuple(
    (kind, re.compile(pattern, re.IGNORECASE))
    for kind, pattern in (
        (ChemicalClass.CYANIDE, r"\b\w*cyanide\b|\b[NK]a?CN\b"),
        (ChemicalClass.HYPOCHLORITE, r"\bhypochlorite\b|\bbleach\b"),
        (ChemicalClass.BISULFITE, r"\b(?:meta)?bisul(?:f|ph)ite\b"),
        (ChemicalClass.SULFIDE, r"\b(?:poly)?sul(?:f|ph)ide\b"),
        (ChemicalClass.OXIDISER, r"\b(?:chromic|nitric) acid\b|\bchromium trioxide\b"),
        (
            ChemicalClass.ACID,
            r"\b(?:sul(?:f|ph)uric|hydrochloric|nitric|chromic|fluoboric|hydrofluoric) acid\b",
        ),
        (ChemicalClass.ORGANIC, r"\b(?:acetone|toluene|xylene|thinners?|alcohol|solvent)\b"),
    )
)
"""Words of a list of contents that name a class; boric acid and the acid in a neutral salt name none."""


def named_classes(tank: Tank) -> frozenset[ChemicalClass]:
    """The classes that the tank's own contents name."""
    return frozenset(
        kind
        for kind, word in CONTENT_WORDS
        if any(word.search(substance) for substance, strength in tank.contents_g_l.items() if strength > 0)
    )


def classes_of(tank: Tank) -> frozenset[ChemicalClass]:
    """All classes that a tank is of; empty for water and what is near it."""
    return solution_of(tank).classes | named_classes(tank)
