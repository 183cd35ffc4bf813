"""Which cleaners are there, and how are they run?

Owns the rows of alkaline cleaners, etches and smut removers. Must not know how they are looked up
(`solutions`), nor which metal may be cleaned which way round: that is a rule of the trade.
"""

from __future__ import annotations

from runner.plating import safety
from runner.plating.classes import ChemicalClass
from runner.plating.solution_row import Solution
from runner.plating.sources import Known, Source, Window

_B322 = Source("ASTM B322", Known.MEMORY)
_MILD = Source("ASTM B252 for zinc die castings and B281 for copper alloys, one band over both", Known.MEMORY)
_B253 = Source("ASTM B253", Known.MEMORY)
_B320 = Source("ASTM B320", Known.MEMORY)
_PRACTICE = Source("usual for the work", Known.PRACTICE)
_CAUSTIC = frozenset({ChemicalClass.CAUSTIC})

CLEANER_SOLUTIONS: tuple[Solution, ...] = (
    Solution(
        name="soak-cleaner",
        title="Soak cleaner",
        source=_B322,
        safety=safety.HOT_ALKALI,
        classes=_CAUSTIC,
        temperature_c=Window(60, 90, _B322),
    ),
    Solution(
        name="electrocleaner",
        title="Electrocleaner",
        source=_B322,
        safety=safety.ELECTRIC_ALKALI,
        polarity=frozenset({"anodic", "cathodic"}),
        classes=_CAUSTIC,
        temperature_c=Window(60, 90, _B322),
        density_a_dm2=Window(3, 12, _B322),
    ),
    Solution(
        name="mild-electrocleaner",
        title="Mild electrocleaner (zinc, brass, copper)",
        source=_MILD,
        safety=safety.ELECTRIC_ALKALI,
        polarity=frozenset({"anodic", "cathodic"}),
        classes=_CAUSTIC,
        temperature_c=Window(50, 70, _MILD),
        density_a_dm2=Window(1.6, 5, _MILD),
    ),
    Solution(
        name="aluminium-cleaner",
        title="Cleaner for aluminium, without etch",
        source=_B253,
        safety=safety.MILD_ALKALI,
        classes=_CAUSTIC,
        temperature_c=Window(50, 70, _PRACTICE),
    ),
    Solution(
        name="aluminium-etch",
        title="Caustic etch for aluminium",
        source=_B253,
        safety=safety.STRONG_CAUSTIC,
        classes=_CAUSTIC,
        temperature_c=Window(40, 65, _PRACTICE),
    ),
    Solution(
        name="smut-remover",
        title="Alkaline smut remover (anodic)",
        source=_B320,
        safety=safety.ELECTRIC_ALKALI,
        polarity=frozenset({"anodic"}),
        classes=_CAUSTIC,
        temperature_c=Window(60, 90, _PRACTICE),
        density_a_dm2=Window(3, 12, _PRACTICE),
    ),
)
