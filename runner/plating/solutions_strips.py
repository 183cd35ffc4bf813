"""Which strips are there, what do they take off, and how are they run?

Owns their rows. Must not know how they are looked up (`solutions`). No recipes: the strength of a strip
stands in the shop's own file and the supplier's sheet.
"""

from __future__ import annotations

from runner.plating import safety
from runner.plating.classes import ChemicalClass
from runner.plating.solution_row import Solution
from runner.plating.sources import Known, Source, Window

_COLUMN = Source("a trade column on stripping nickel-chromium", Known.COPY)
_MEMORY = Source("handbook practice", Known.MEMORY)
_SIX_VOLTS = Source(f"{_COLUMN.text} gives 6 V; the volt either way", Known.PRACTICE)
_SHOP = Source("at the warmth of the shop", Known.PRACTICE)
_ANODIC_V = Window(5, 7, _SIX_VOLTS)
_ALKALINE_STRIP = frozenset({ChemicalClass.CAUSTIC})

STRIP_SOLUTIONS: tuple[Solution, ...] = (
    Solution(
        name="sulfuric-strip",
        title="Nickel strip, strong sulfuric (anodic, entered dry)",
        source=_COLUMN,
        safety=safety.STRONG_ACID,
        polarity=frozenset({"anodic"}),
        classes=frozenset({ChemicalClass.ACID}),
        temperature_c=Window(10, 35, Source("kept cold, at most 30 to 35 °C", Known.MEMORY)),
        voltage_v=_ANODIC_V,
        wet=False,
        strips=("nickel",),
    ),
    Solution(
        name="hydrochloric-chromium-strip",
        title="Chromium strip, warm hydrochloric",
        source=_COLUMN,
        safety=safety.FUMING_ACID,
        classes=frozenset({ChemicalClass.ACID}),
        temperature_c=Window(43, 54, _COLUMN),
        strips=("chromium",),
    ),
    Solution(
        name="caustic-chromium-strip",
        title="Chromium strip, caustic (anodic)",
        source=_COLUMN,
        safety=safety.CHROMATE_STRIP,
        polarity=frozenset({"anodic"}),
        classes=_ALKALINE_STRIP,
        temperature_c=Window(15, 35, _SHOP),
        voltage_v=_ANODIC_V,
        strips=("chromium",),
    ),
    Solution(
        name="carbonate-chromium-strip",
        title="Chromium strip, soda (anodic; zinc and aluminium)",
        source=_COLUMN,
        safety=safety.CHROMATE_STRIP,
        polarity=frozenset({"anodic"}),
        classes=_ALKALINE_STRIP,
        temperature_c=Window(15, 35, _SHOP),
        voltage_v=_ANODIC_V,
        strips=("chromium",),
    ),
    Solution(
        name="cyanide-copper-strip",
        title="Copper strip, cyanide (anodic)",
        source=_MEMORY,
        safety=safety.CYANIDE_BATH,
        polarity=frozenset({"anodic"}),
        classes=frozenset({ChemicalClass.CYANIDE, ChemicalClass.CAUSTIC}),
        temperature_c=Window(15, 50, _MEMORY),
        voltage_v=Window(5, 7, Source("handbooks give 6 V; the volt either way", Known.PRACTICE)),
        strips=("copper",),
    ),
    Solution(
        name="nitric-rack-strip",
        title="Copper strip for rack tips, nitric (entered dry)",
        source=_MEMORY,
        safety=safety.NITRIC_ACID,
        classes=frozenset({ChemicalClass.ACID, ChemicalClass.OXIDISER}),
        temperature_c=Window(10, 30, _SHOP),
        wet=False,
        strips=("copper",),
    ),
)
