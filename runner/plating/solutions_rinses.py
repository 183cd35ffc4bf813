"""Which rinses and neutralisers are there?

Owns their rows. A rinse has no class of its own: it is of the class of what is carried into it. Must not
know how they are looked up (`solutions`).
"""

from __future__ import annotations

from runner.plating import safety
from runner.plating.classes import ChemicalClass
from runner.plating.solution_row import Solution
from runner.plating.sources import Known, Source, Window

_PRACTICE = Source("usual for the work", Known.PRACTICE)

RINSE_SOLUTIONS: tuple[Solution, ...] = (
    Solution(name="rinse", title="Cold rinse", source=_PRACTICE, safety=safety.PLAIN_WATER),
    Solution(
        name="hot-rinse",
        title="Hot rinse",
        source=_PRACTICE,
        safety=safety.HOT_WATER,
        temperature_c=Window(60, 85, _PRACTICE),
    ),
    Solution(
        name="bisulfite-neutraliser",
        title="Bisulfite neutraliser after hexavalent chromium",
        source=_PRACTICE,
        safety=safety.BISULFITE_RINSE,
        classes=frozenset({ChemicalClass.BISULFITE}),
        temperature_c=Window(15, 35, _PRACTICE),
    ),
)
