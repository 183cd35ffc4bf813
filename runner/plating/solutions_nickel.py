"""Which nickel solutions are there, and how are they run?

Owns their rows. Must not know how they are looked up (`solutions`).
"""

from __future__ import annotations

from runner.plating import safety
from runner.plating.classes import ChemicalClass
from runner.plating.efficiency import Efficiency
from runner.plating.metals import NICKEL_II
from runner.plating.solution_row import Solution
from runner.plating.sources import Known, Source, Window

_ASM = Source("ASM Handbook, vol. 5, 'Nickel plating'", Known.MEMORY)
_HANDBOOK = Source("Nickel Plating Handbook, 2014: usual cathode efficiency 95.5 %", Known.MEMORY)
_B254 = Source("ASTM B254", Known.MEMORY)
_ACID = frozenset({ChemicalClass.ACID})

NICKEL_SOLUTIONS: tuple[Solution, ...] = (
    Solution(
        name="watts-nickel",
        title="Watts nickel",
        source=_ASM,
        safety=safety.NICKEL_BATH,
        follows="charge",
        ion=NICKEL_II,
        polarity=frozenset({"cathodic"}),
        classes=_ACID,
        temperature_c=Window(44, 66, _ASM),
        ph=Window(2.0, 4.5, _ASM),
        density_a_dm2=Window(3, 11, _ASM),
        efficiency=Efficiency.flat(0.955, _HANDBOOK),
    ),
    Solution(
        name="semi-bright-nickel",
        title="Semi-bright nickel (Watts base)",
        source=_ASM,
        safety=safety.NICKEL_BATH,
        follows="charge",
        ion=NICKEL_II,
        polarity=frozenset({"cathodic"}),
        classes=_ACID,
        temperature_c=Window(44, 66, _ASM),
        ph=Window(2.0, 4.5, _ASM),
        density_a_dm2=Window(3, 11, _ASM),
        efficiency=Efficiency.flat(0.955, _HANDBOOK),
    ),
    Solution(
        name="sulfamate-nickel",
        title="Sulfamate nickel",
        source=_ASM,
        safety=safety.NICKEL_BATH,
        follows="charge",
        ion=NICKEL_II,
        polarity=frozenset({"cathodic"}),
        classes=_ACID,
        temperature_c=Window(32, 60, _ASM),
        ph=Window(3.5, 5.0, _ASM),
        density_a_dm2=Window(0.5, 30, _ASM),
        efficiency=Efficiency.flat(0.97, Source(f"{_ASM.text}: middle of 95 to 99 %", Known.MEMORY)),
    ),
    # No pH window: it lies at and below nought, where an electrode reads nothing of use.
    Solution(
        name="wood-nickel-strike",
        title="Acid nickel strike (Wood's)",
        source=_B254,
        safety=safety.NICKEL_STRIKE,
        follows="charge",
        ion=NICKEL_II,
        polarity=frozenset({"anodic", "cathodic"}),
        classes=_ACID,
        temperature_c=Window(20, 30, _B254),
        density_a_dm2=Window(5, 20, _B254),
        efficiency=Efficiency.flat(0.40, Source(f"{_B254.text}: middle of 30 to 50 %", Known.MEMORY)),
    ),
)
