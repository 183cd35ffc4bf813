"""Which zinc solutions are there, and what follows them?

Owns the rows of zinc plating, of the zincate that aluminium is dipped in, and of passivation. Must not know
how they are looked up (`solutions`).
"""

from __future__ import annotations

from runner.plating import safety
from runner.plating.classes import ChemicalClass
from runner.plating.efficiency import Efficiency
from runner.plating.metals import ZINC_II
from runner.plating.solution_row import Solution
from runner.plating.sources import Known, Source, Window

_CHLORIDE = Source("handbook typical for acid chloride zinc", Known.MEMORY)
_B253 = Source("ASTM B253", Known.MEMORY)
_PASSIVATE = Source("typical for trivalent passivates; the supplier's sheet decides", Known.MEMORY)

ZINC_SOLUTIONS: tuple[Solution, ...] = (
    Solution(
        name="chloride-zinc",
        title="Acid chloride zinc",
        source=_CHLORIDE,
        safety=safety.ZINC_BATH,
        follows="charge",
        ion=ZINC_II,
        polarity=frozenset({"cathodic"}),
        classes=frozenset({ChemicalClass.ACID}),
        temperature_c=Window(20, 40, _CHLORIDE),
        ph=Window(4.8, 5.8, _CHLORIDE),
        density_a_dm2=Window(0.5, 5, _CHLORIDE),
        efficiency=Efficiency.flat(0.96, Source(f"{_CHLORIDE.text}: 95 to 98 %", Known.MEMORY)),
    ),
    # Zinc comes down by exchange, not by current, so there is no ion to reckon with.
    Solution(
        name="zincate",
        title="Zincate",
        source=_B253,
        safety=safety.STRONG_CAUSTIC,
        classes=frozenset({ChemicalClass.CAUSTIC}),
        temperature_c=Window(20, 27, _B253),
    ),
    Solution(
        name="passivate",
        title="Passivate for zinc",
        source=_PASSIVATE,
        safety=safety.PASSIVATE_BATH,
        classes=frozenset({ChemicalClass.ACID}),
        temperature_c=Window(20, 30, _PASSIVATE),
        ph=Window(1.6, 2.5, _PASSIVATE),
    ),
)
