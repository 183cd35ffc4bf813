"""Which solutions stand in a shop beside the line: solvents, treatment, films?

Owns their rows: they matter because of what they must never meet. Must not know how they are looked up
(`solutions`).
"""

from __future__ import annotations

from runner.plating import safety_others
from runner.plating.classes import ChemicalClass
from runner.plating.solution_row import Solution
from runner.plating.sources import Known, Source, Window

_PRACTICE = Source("usual for the work", Known.PRACTICE)
_HANDBOOK = Source("handbook practice", Known.DOUBTFUL)

OTHER_SOLUTIONS: tuple[Solution, ...] = (
    Solution(
        name="solvent-cleaner",
        title="Solvent cleaner",
        source=_PRACTICE,
        safety=safety_others.SOLVENT,
        classes=frozenset({ChemicalClass.ORGANIC}),
        temperature_c=Window(5, 30, _PRACTICE),
    ),
    Solution(
        name="hypochlorite-treatment",
        title="Hypochlorite treatment of cyanide rinses",
        source=_PRACTICE,
        safety=safety_others.HYPOCHLORITE,
        classes=frozenset({ChemicalClass.HYPOCHLORITE}),
        temperature_c=Window(5, 35, _PRACTICE),
        ph=Window(
            10.5, 12.5, Source("EPA 625/10-85/001: kept alkaline, or cyanogen chloride forms", Known.MEMORY)
        ),
    ),
    Solution(
        name="sulfide-copper-strip",
        title="Copper strip for zinc, sulfide film",
        source=_HANDBOOK,
        safety=safety_others.SULFIDE,
        classes=frozenset({ChemicalClass.SULFIDE, ChemicalClass.CAUSTIC}),
        temperature_c=Window(10, 35, _HANDBOOK),
        strips=("copper",),
    ),
)
