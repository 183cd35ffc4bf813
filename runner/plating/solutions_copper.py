"""Which copper solutions are there, and how are they run?

Owns their rows. Must not know how they are looked up (`solutions`).
"""

from __future__ import annotations

from runner.plating import safety
from runner.plating.classes import ChemicalClass
from runner.plating.efficiency import Efficiency
from runner.plating.metals import COPPER_I, COPPER_II
from runner.plating.solution_row import Solution
from runner.plating.sources import Known, Source, Window

_ACID_COPPER = Source("Metal Finishing Guidebook, p. 206, Table VIII", Known.READ)
_STRIKE = Source("Metal Finishing Guidebook, p. 199, Table I", Known.READ)
_HIGH_EFFICIENCY = Source("Metal Finishing Guidebook, p. 201, Table III", Known.READ)
_MEMORY = Source("handbook practice", Known.MEMORY)
_DOUBTFUL = Source("handbook typical for proprietary baths", Known.DOUBTFUL)
_CYANIDE = frozenset({ChemicalClass.CYANIDE, ChemicalClass.CAUSTIC})

COPPER_SOLUTIONS: tuple[Solution, ...] = (
    # No pH window: below 1, and kept by analysis of the acid.
    Solution(
        name="acid-copper",
        title="Acid copper",
        source=_ACID_COPPER,
        safety=safety.ACID_COPPER,
        follows="charge",
        ion=COPPER_II,
        polarity=frozenset({"cathodic"}),
        classes=frozenset({ChemicalClass.ACID}),
        temperature_c=Window(20, 30, _MEMORY),
        density_a_dm2=Window(2.2, 10.8, _ACID_COPPER),
        efficiency=Efficiency.flat(
            0.99, Source("middle of 98 to 100 % for bright decorative baths", Known.MEMORY)
        ),
    ),
    Solution(
        name="cyanide-copper-strike",
        title="Cyanide copper strike",
        source=_STRIKE,
        safety=safety.CYANIDE_BATH,
        follows="charge",
        ion=COPPER_I,
        polarity=frozenset({"cathodic"}),
        classes=_CYANIDE,
        temperature_c=Window(24, 66, _STRIKE),
        ph=Window(11.5, 12.5, _MEMORY),
        density_a_dm2=Window(0.5, 4, _STRIKE),
        efficiency=Efficiency.flat(0.45, Source(f"{_STRIKE.text}: middle of 30 to 60 %", Known.READ)),
    ),
    Solution(
        name="cyanide-copper",
        title="Cyanide copper, high efficiency",
        source=_HIGH_EFFICIENCY,
        safety=safety.CYANIDE_BATH,
        follows="charge",
        ion=COPPER_I,
        polarity=frozenset({"cathodic"}),
        classes=_CYANIDE,
        temperature_c=Window(60, 71, _HIGH_EFFICIENCY),
        ph=Window(12, 13.5, Source("above 12; upper end common practice", Known.MEMORY)),
        density_a_dm2=Window(
            1, 8.6, Source(f"{_HIGH_EFFICIENCY.text} for the upper end; the lower end", Known.PRACTICE)
        ),
        efficiency=Efficiency.flat(
            0.945, Source(f"{_HIGH_EFFICIENCY.text}: middle of 90 to 99 %", Known.READ)
        ),
    ),
    # No class: near neutral, with complexors that only its data sheet names.
    Solution(
        name="alkaline-copper",
        title="Alkaline copper without cyanide",
        source=_DOUBTFUL,
        safety=safety.ALKALINE_COPPER,
        follows="charge",
        ion=COPPER_II,
        polarity=frozenset({"cathodic"}),
        temperature_c=Window(40, 65, _DOUBTFUL),
        ph=Window(8.8, 10.5, _DOUBTFUL),
        density_a_dm2=Window(0.5, 3, _DOUBTFUL),
        efficiency=Efficiency.flat(0.925, Source(f"{_DOUBTFUL.text}: middle of 85 to 100 %", Known.DOUBTFUL)),
    ),
)
