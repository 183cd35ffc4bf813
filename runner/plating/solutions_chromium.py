"""Which chromium solutions are there, and how are they run?

Owns their rows. Their timers follow the clock: chromium does not throw, and a low current is lost cover, not
slow cover. Must not know how they are looked up (`solutions`).
"""

from __future__ import annotations

from runner.plating import safety
from runner.plating.classes import ChemicalClass
from runner.plating.efficiency import Efficiency
from runner.plating.metals import CHROMIUM_III, CHROMIUM_VI
from runner.plating.solution_row import Solution
from runner.plating.sources import Known, Source, Window

_GUIDE = Source("EPA-453/B-95-001, April 1995, Table 3-1", Known.READ)
_HEXAVALENT_EFFICIENCY = Source("handbooks: middle of 10 to 20 %", Known.MEMORY)
_TRIVALENT = Source("ASM Handbook, vol. 5, and Metal Finishing Guidebook", Known.MEMORY)
_PRACTICE = Source("the bath's own strength without current", Known.PRACTICE)
_CHROMIC = frozenset({ChemicalClass.ACID, ChemicalClass.OXIDISER})

CHROMIUM_SOLUTIONS: tuple[Solution, ...] = (
    Solution(
        name="hexavalent-chromium",
        title="Decorative chromium (hexavalent)",
        source=_GUIDE,
        safety=safety.CHROMIC_BATH,
        ion=CHROMIUM_VI,
        polarity=frozenset({"cathodic"}),
        classes=_CHROMIC,
        temperature_c=Window(38, 46, _GUIDE),
        density_a_dm2=Window(5.4, 23.7, _GUIDE),
        efficiency=Efficiency.flat(0.15, _HEXAVALENT_EFFICIENCY),
    ),
    # Anodic too: the reverse etch of steel before the deposit.
    Solution(
        name="hard-chromium",
        title="Hard chromium (hexavalent)",
        source=_GUIDE,
        safety=safety.CHROMIC_BATH,
        ion=CHROMIUM_VI,
        polarity=frozenset({"anodic", "cathodic"}),
        classes=_CHROMIC,
        temperature_c=Window(49, 66, _GUIDE),
        density_a_dm2=Window(16, 65, _GUIDE),
        efficiency=Efficiency.flat(0.15, _HEXAVALENT_EFFICIENCY),
    ),
    Solution(
        name="trivalent-chromium",
        title="Decorative chromium (trivalent, single cell)",
        source=_TRIVALENT,
        safety=safety.TRIVALENT_BATH,
        ion=CHROMIUM_III,
        polarity=frozenset({"cathodic"}),
        classes=frozenset({ChemicalClass.ACID}),
        temperature_c=Window(21, 49, _TRIVALENT),
        ph=Window(2.3, 3.9, _TRIVALENT),
        density_a_dm2=Window(4.3, 14, _TRIVALENT),
        efficiency=Efficiency.flat(0.115, Source("handbooks: middle of 8 to 15 %", Known.DOUBTFUL)),
    ),
    Solution(
        name="chromic-predip",
        title="Chromic pre-dip",
        source=_PRACTICE,
        safety=safety.CHROMIC_BATH,
        classes=_CHROMIC,
        temperature_c=Window(20, 46, _PRACTICE),
    ),
)
