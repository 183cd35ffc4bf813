"""Orders of preparation as the ASTM guides give them pass as written.

B183, B242, B252, B253, B254, B281, B320 and B322: abstracts read, details from memory.
"""

from __future__ import annotations

from typing import Any

import pytest

from support.rule_shop import (
    AL,
    CHROMIUM,
    CLEAN_ZINC,
    CYANIDE,
    DIP_COPPER,
    ETCH,
    FE,
    NEUTRAL,
    NICKEL,
    SOAK,
    STRIKE,
    ZINCATE,
    ZN,
    Step,
    bake,
    bench,
    check,
    electro,
    plate,
    rinse,
    wet,
)

SMUT = wet("desmut", "smut-remover", "1 min", polarity="anodic", current_density="5 A/dm²")
PICKLE = [wet("activate", "hydrochloric-pickle", "1 min"), rinse("r2")]
FINISH = [*NICKEL, *CHROMIUM, *NEUTRAL]
COPPER_STRIKE = [plate("cyanide-copper-strike", 3, 2, "dull", "strike"), rinse("r8"), *DIP_COPPER]

ORDERS: list[tuple[str, list[Step], str, dict[str, Any]]] = [
    ("B183 rack: preclean, electroclean, rinse, pickle, alkaline descale, rinse, smut removal and activation",
     [*SOAK, electro("electrocleaner", "anodic"), rinse("r1"), *PICKLE, SMUT, rinse("r1"),
      wet("activate", "sulfuric-dip"), rinse("r2"), *FINISH], FE, {}),
    ("B183 bulk: alkaline clean, rinse, acid pickle, rinse, zinc",
     [*SOAK, *PICKLE, plate("chloride-zinc", 8, 2, "bright"), rinse("r5"), wet("passivate", "passivate"),
      rinse("r6"), bench("dry")], FE, {}),
    ("B242: anodic only, anodic etch, no cathodic, bake",
     [bake(18, 200, 220), *SOAK, electro("electrocleaner", "anodic"), rinse("r1"), ETCH, rinse("r2"),
      plate("sulfamate-nickel", 25, 3, "dull"), rinse("r5"), bench("dry", next_within="30 min"), bake(18)],
     "high-carbon steel", {"strength": "1500 MPa"}),
    ("B252: smooth, buff, preclean, electroclean, acid dip, copper strike",
     [bench("polish", ppe=["goggles"]), *CLEAN_ZINC, *CYANIDE, *DIP_COPPER, *FINISH], ZN,
     {"finish": "Zn/Cu8/Ni20b/Cr r"}),
    ("B253: clean, desmut, zincate, strip, zincate, copper strike",
     [*ZINCATE, *COPPER_STRIKE, *FINISH], AL, {}),
    ("B253: etched first",
     [ZINCATE[0], ZINCATE[1], wet("etch", "aluminium-etch"), rinse("r1"), *ZINCATE[2:], *COPPER_STRIKE,
      *FINISH],
     AL, {}),
    ("B254: clean, cathodic sulfuric, acid nickel strike",
     [*SOAK, electro("electrocleaner", "anodic"), rinse("r1"),
      wet("activate", "stainless-activation", "2 min", polarity="cathodic", current_density="2 A/dm²"),
      *STRIKE, *FINISH], "stainless steel", {}),
    ("B281: soak, cathodic then short anodic, acid dip",
     [*SOAK, electro("mild-electrocleaner", "cathodic", "3 A/dm²"),
      electro("mild-electrocleaner", "anodic", "3 A/dm²", "10 s"), rinse("r1"), *DIP_COPPER, *FINISH],
      "brass", {}),
    ("B281 leaded: fluoboric dip, copper strike",
     [*SOAK, electro("mild-electrocleaner", "cathodic", "3 A/dm²"), rinse("r1"),
      wet("activate", "fluoboric-dip"), rinse("r2"), *COPPER_STRIKE, *FINISH], "leaded brass", {}),
    ("B320: alkaline anodic, brief acid, smut removal, copper strike",
     [*SOAK, electro("electrocleaner", "anodic"), rinse("r1"), wet("activate", "sulfuric-dip", "10 s"),
      rinse("r2"),
      SMUT, rinse("r1"), *COPPER_STRIKE, *FINISH], "cast iron", {}),
    ("B322: solvent, soak, electroclean, water break after the last rinse",
     [wet("clean", "solvent-cleaner"), *SOAK, electro("electrocleaner", "anodic"), rinse("r1"),
      wet("activate", "sulfuric-dip"), rinse("r2"), *FINISH], FE, {}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("steps", "basis", "top"), [order[1:] for order in ORDERS], ids=[o[0] for o in ORDERS]
)
def test_an_order_of_the_guides_passes_as_written(steps: list[Step], basis: str, top: dict[str, Any]) -> None:
    """No danger, no spoil, no doubt."""
    found = check(steps, basis, **top)
    assert not [f for f in found if f.severity != "advice"], [(f.rule, f.message) for f in found]
