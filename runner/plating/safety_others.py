"""What can hurt at the solutions beside the line?

Owns the safety rows of solvents, hypochlorite and sulfide. Must not know any one solution. Classification is
from memory and the supplier's safety data sheet overrides every line of it.
"""

from __future__ import annotations

from runner.plating import cautions, protection
from runner.plating.hazards import DEFER
from runner.plating.safety import Safety

SOLVENT = Safety(
    "Danger",
    ("H225", "H319", "H336"),
    (
        "Its vapour catches fire: no flame, no spark, extraction on.",
        "Never near chromic or nitric acid.",
        DEFER,
    ),
    (*protection.BASE, protection.GLOVES_SOLVENT),
    (protection.AID_SOLVENT,),
    (cautions.SOLVENT,),
)

HYPOCHLORITE = Safety(
    "Danger",
    ("H290", "H314", "H410", "EUH031"),
    ("Acid frees chlorine from it, which chokes.", "Burns skin and eyes.", DEFER),
    (*protection.SPLASH, protection.GLOVES_CAUSTIC),
    (protection.AID_CAUSTIC,),
    (cautions.HYPOCHLORITE,),
)

SULFIDE = Safety(
    "Danger",
    ("H290", "H302", "H314", "H410", "EUH031"),
    ("Acid frees hydrogen sulfide from it, which kills.", "Alkali burns skin and eyes.", DEFER),
    (*protection.SPLASH, protection.GLOVES_CAUSTIC),
    (protection.AID_CAUSTIC,),
    (cautions.SULFIDE,),
)
