"""Adhesion, layers, strips, cleaning, rinsing: each rule finds its fault, and keeps still at its twin.

The orders are those of the ASTM guides (B183, B252, B253, B254, B281, B320; abstracts read, details from
memory) and common practice.
"""

from __future__ import annotations

from typing import Any

import pytest

from runner.procedure.rules.rule import BatchFacts
from support.rule_shop import (
    AL,
    ALUMINIUM,
    BRASS,
    CHROMIUM,
    CLEAN_COPPER,
    CLEAN_STEEL,
    CLEAN_ZINC,
    CYANIDE,
    DIP_COPPER,
    DIP_STEEL,
    FE,
    NEUTRAL,
    NICKEL,
    SOAK,
    STEEL,
    STRIKE,
    STRIP,
    ZINC,
    ZINC_PLATED,
    ZINCATE,
    ZN,
    Step,
    at,
    bench,
    check,
    electro,
    instead,
    plate,
    rinse,
    route,
    twin,
    wet,
    without,
)

COPPER = [plate("acid-copper", 20, 3, "bright"), rinse("r5")]
STEEL_COPPER = [*CLEAN_STEEL, *DIP_STEEL, *STRIKE, *COPPER]
STAINLESS = [*CLEAN_STEEL, wet("activate", "hydrochloric-pickle"), *STRIKE, *NICKEL, *CHROMIUM, *NEUTRAL]
HARD = [
    *CLEAN_STEEL,
    wet("etch", "hard-chromium", polarity="anodic", current_density="20 A/dm²"),
    plate("hard-chromium", 20, 40, "hard", dwell="2 h"),
    rinse("rc"),
    *NEUTRAL,
]
OLD = {"existing": ["chromium", "nickel"]}
DOUBLE = [
    *CLEAN_COPPER,
    *DIP_COPPER,
    plate("semi-bright-nickel", 12, 4, "semi-bright"),
    *NICKEL,
    *CHROMIUM,
    *NEUTRAL,
]
TWO_NICKELS = [*CLEAN_STEEL, *DIP_STEEL, *NICKEL]
REPLATE = [
    *SOAK,
    electro("electrocleaner", "cathodic"),
    rinse("r1"),
    wet("activate", "nickel-activation", polarity="anodic", current_density="2 A/dm²"),
    rinse("r2"),
    *NICKEL,
]
POLISHED = [bench("polish", ppe=["goggles"]), *STEEL]

CASES: list[tuple[str, str, str, list[Step], list[Step], str, dict[str, Any]]] = [
    ("acid copper on bare steel", "does-not-hold", "spoil", without(STEEL_COPPER, 6, 7), STEEL_COPPER,
     FE, {}),
    ("acid copper on bare zinc", "does-not-hold", "spoil", [*CLEAN_ZINC, *COPPER], ZINC, ZN, {}),
    ("nickel on bare zinc", "does-not-hold", "spoil", [*CLEAN_ZINC, *NICKEL], ZINC, ZN, {}),
    ("nickel on bare aluminium", "does-not-hold", "spoil", [*ZINCATE[:4], *NICKEL], ALUMINIUM, AL, {}),
    ("nickel on zincate", "does-not-hold", "spoil", [*ZINCATE, *NICKEL], ALUMINIUM, AL, {}),
    ("decorative chromium on steel", "does-not-hold", "spoil", [*CLEAN_STEEL, *DIP_STEEL, *CHROMIUM], STEEL,
     FE, {}),
    ("decorative chromium on brass", "does-not-hold", "spoil", [*CLEAN_COPPER, *DIP_COPPER, *CHROMIUM], BRASS,
     "brass", {}),
    ("chromium on chromium", "does-not-hold", "spoil", [*STEEL[:-3], *CHROMIUM], STEEL, FE, {}),
    ("plated over old chromium", "does-not-hold", "spoil", REPLATE, STEEL, FE, OLD),
    ("hard chromium on etched steel", "plated-on-passive-metal", "spoil", without(HARD, 4), HARD,
     FE, {}),
    ("old nickel without activation", "plated-on-passive-metal", "spoil", without(REPLATE, 4, 5), REPLATE,
     FE, {"existing": ["nickel"]}),
    ("steel without its acid", "plated-on-passive-metal", "spoil", without(STEEL, 4, 5), STEEL,
     FE, {}),
    ("brass without its acid", "plated-on-passive-metal", "doubt", without(BRASS, 4, 5), BRASS, "brass", {}),
    ("stainless without its strike", "does-not-hold", "doubt", without(STAINLESS, 5, 6), STAINLESS,
     "stainless steel", {}),
    ("stainless not activated for chromium", "plated-on-passive-metal", "spoil", [*CLEAN_STEEL, *CHROMIUM],
     STAINLESS, "stainless steel", {}),
    ("nickel dried before chromium", "plated-on-passive-metal", "spoil", [*STEEL[:8], bench("dry"),
      *STEEL[8:]],
     STEEL, FE, {}),
    ("hot rinse before chromium", "plated-on-passive-metal", "spoil",
     [*STEEL[:8], wet("rinse", "hot-rinse"), *STEEL[8:]], STEEL, FE, {}),
    ("nickel cleaned anodic before chromium", "plated-on-passive-metal", "spoil",
     [*STEEL[:8], electro("electrocleaner", "anodic"), rinse("r1"), *STEEL[8:]], STEEL, FE, {}),
    ("polished nickel cleaned and not dipped", "plated-on-passive-metal", "doubt",
     [*STEEL[:8], bench("polish", ppe=["goggles"]), *CLEAN_COPPER, *STEEL[8:]],
     [*STEEL[:8], bench("polish", ppe=["goggles"]), *CLEAN_COPPER, *DIP_STEEL, *STEEL[8:]], FE, {}),
    ("painted", "plated-over-a-cover", "spoil", [*CLEAN_STEEL, *DIP_STEEL, *NICKEL],
     [bench("blast", media="glass bead", ppe=["mask"]), *CLEAN_STEEL, *DIP_STEEL, *NICKEL], FE,
     {"existing": ["paint"]}),
    ("unknown plate", "bond-not-known", "doubt", TWO_NICKELS,
     [wet("strip", "sulfuric-strip", "1 min", removes=["unknown"], polarity="anodic", voltage="6 V"),
      *TWO_NICKELS],
     FE, {"existing": ["unknown"]}),
    ("copper too thin on zinc", "undercoat-too-thin", "spoil",
     instead(ZINC, at(ZINC, "cyanide-copper"), deposit={**ZINC[at(ZINC, "cyanide-copper")]["deposit"],
             "thickness": "0.8 µm"}), ZINC, ZN, {}),
    ("copper thin on zinc", "undercoat-too-thin", "doubt",
     instead(ZINC, at(ZINC, "cyanide-copper"), deposit={**ZINC[at(ZINC, "cyanide-copper")]["deposit"],
             "thickness": "2.5 µm"}), ZINC, ZN, {}),
    ("copper thin on zinc where ISO is claimed", "undercoat-too-thin", "doubt",
     instead(ZINC, at(ZINC, "cyanide-copper"), deposit={**ZINC[at(ZINC, "cyanide-copper")]["deposit"],
             "thickness": "5 µm"}), ZINC, ZN, {"finish": "Zn/Cu5/Ni20b/Cr r"}),
    ("thin nickel strike under acid copper", "undercoat-too-thin", "spoil",
     [*STEEL_COPPER[:6], plate("wood-nickel-strike", 0.5, 6, "dull", "strike"), *STEEL_COPPER[7:]],
      STEEL_COPPER,
     FE, {}),
    ("zinc entered dead", "entered-without-current", "doubt",
     instead(ZINC, at(ZINC, "cyanide-copper-strike"), live_entry=False), ZINC, ZN, {}),
    ("chromium entered dead", "entered-without-current", "advice",
     instead(STEEL, at(STEEL, "hexavalent-chromium"), live_entry=False), STEEL, FE, {}),
    ("entered at full voltage", "entered-too-hard", "advice", instead(STEEL, 6, entry_voltage="9 V"),
     instead(STEEL, 6, entry_voltage="3 V"), FE, {}),
    ("cast iron from acid", "smut-on-cast-iron", "advice", STEEL, STEEL, "cast iron", {}),
    ("zincate on smut", "zincate-on-smut", "doubt", without(ALUMINIUM, 2, 3), ALUMINIUM, AL, {}),
    ("zincate on zincate", "zincate-on-smut", "doubt", without(ALUMINIUM, 6, 7), ALUMINIUM, AL, {}),
    ("zincated once", "zincated-once", "advice", without(ALUMINIUM, 6, 7, 8, 9), ALUMINIUM, AL, {}),
    ("semi-bright over bright", "nickel-upside-down", "doubt",
     [*CLEAN_COPPER, *DIP_COPPER, *NICKEL, plate("semi-bright-nickel", 12, 4, "semi-bright")], DOUBLE,
      "brass", {}),
    ("zinc left bare", "zinc-left-bare", "advice", without(ZINC_PLATED, 8, 9), ZINC_PLATED, FE, {}),
    ("passivate without zinc", "passivated-without-zinc", "doubt", without(ZINC_PLATED, 6, 7), ZINC_PLATED,
      FE, {}),
    ("nickel before chromium off", "strip-out-of-order", "spoil", without(STRIP, 2, 3), STRIP, FE,
     OLD),
    ("nothing to strip", "strip-out-of-order", "doubt", STRIP, STRIP[:5], FE,
     {"existing": ["chromium"]}),
    ("strip for another metal", "strip-for-another-metal", "spoil", instead(STRIP, 2,
      tank="cyanide-copper-strip"),
     STRIP, FE, OLD),
    ("wet into strong acid", "strip-entered-wet", "spoil", without(STRIP, 4), STRIP, FE, OLD),
    ("strip eats brass", "eats-the-metal", "spoil",
     [*SOAK, wet("strip", "cyanide-copper-strip", removes=["copper"], polarity="anodic", voltage="6 V")],
      BRASS,
     "brass", {"existing": ["copper"]}),
    ("pickle eats zinc", "eats-the-metal", "spoil", [wet("activate", "hydrochloric-pickle")], CLEAN_ZINC,
     ZN, {}),
    ("sulfuric dip on leaded brass", "eats-the-metal", "spoil", [wet("activate", "sulfuric-dip")],
     [wet("activate", "fluoboric-dip")], "leaded brass", {}),
    ("nitric on steel", "eats-the-metal", "spoil", [wet("desmut", "nitric-desmut")], STEEL, FE, {}),
    ("strip through grease", "stripped-through-grease", "advice", STRIP[2:], STRIP, FE, OLD),
    ("never cleaned", "plated-on-soil", "spoil", STEEL[4:], STEEL, FE, {}),
    ("polished after cleaning", "plated-on-soil", "spoil",
     [*STEEL[:4], bench("polish", ppe=["goggles"]), *STEEL[4:]], POLISHED, FE, {}),
    ("gauged after cleaning", "plated-on-soil", "spoil", [*STEEL[:4], bench("measure"), *STEEL[4:]],
     [bench("measure"), *STEEL], FE, {}),
    ("soaked only", "plated-on-soil", "doubt", without(STEEL, 2, 3), STEEL, FE, {}),
    ("aluminium is soaked only", "plated-on-soil", "spoil", ALUMINIUM[2:], ALUMINIUM, AL, {}),
    ("steel cathodic", "cleaned-the-wrong-way-round", "doubt", instead(STEEL, 2, polarity="cathodic"),
     [*STEEL[:2], electro("electrocleaner", "cathodic"), *STEEL[2:]], FE, {}),
    ("brass anodic for a minute", "cleaned-the-wrong-way-round", "doubt", instead(BRASS, 2,
      polarity="anodic"),
     [*BRASS[:3], electro("mild-electrocleaner", "anodic", "3 A/dm²", "10 s"), *BRASS[3:]], "brass", {}),
    ("zinc for long", "cleaned-the-wrong-way-round", "doubt", instead(ZINC, 2, dwell="3 min"), ZINC,
     ZN, {}),
    ("zinc cathodic", "cleaned-the-wrong-way-round", "doubt", instead(ZINC, 2, polarity="cathodic"), ZINC,
     ZN, {}),
    ("aluminium with current", "cleaned-the-wrong-way-round", "spoil",
     [*ALUMINIUM[:2], electro("mild-electrocleaner", "anodic", "2 A/dm²"), *ALUMINIUM[2:]], ALUMINIUM, AL,
     {}),
    ("dried in the middle", "dried-between-wet-steps", "doubt", [*STEEL[:4], bench("dry"), *STEEL[4:]], STRIP,
     FE, {}),
    ("nobody looks", "no-look-for-water-break", "advice",
     [{key: value for key, value in step.items() if key != "check"} for step in STEEL], STEEL, FE,
     {}),
    ("cleaner into acid", "rinsed-too-little", "spoil", without(STEEL, 3), STEEL, FE, {}),
    ("nickel into chromium", "rinsed-too-little", "spoil", without(STEEL, 7), STEEL, FE, {}),
    ("strike into acid copper", "rinsed-too-little", "spoil", without(STEEL_COPPER, 7), STEEL_COPPER,
     FE, {}),
    ("strike through a still rinse into acid copper", "rinsed-too-little", "doubt",
     instead(STEEL_COPPER, 7, tank="still"), STEEL_COPPER, FE, {}),
    ("bright into semi-bright", "rinsed-too-little", "spoil",
     [*CLEAN_COPPER, *DIP_COPPER, NICKEL[0], plate("semi-bright-nickel", 12, 4)], DOUBLE, "brass", {}),
    ("nitric into zincate", "rinsed-too-little", "spoil", without(ALUMINIUM, 3), ALUMINIUM, AL, {}),
    ("chromium dried on", "dried-unrinsed", "spoil", [*STEEL[:9], bench("dry")], STEEL, FE, {}),
    ("wet in the oven", "left-wet", "doubt", [*SOAK, bench("bake", dwell="1 h", ppe=["gloves"])],
     [*SOAK, bench("dry"), bench("bake", dwell="1 h", ppe=["gloves"])], FE, {}),
    ("rinsed between two nickels", "rinsed-where-none-is-right", "doubt", [*DOUBLE[:7], rinse("r4"),
      *DOUBLE[7:]],
     DOUBLE, "brass", {}),
    ("stainless rinsed after its acid", "rinsed-where-none-is-right", "advice",
     [*STAINLESS[:5], rinse("r2"), *STAINLESS[5:]], STAINLESS, "stainless steel", {}),
    ("rinse without figures", "rinse-without-figures", "advice", instead(STEEL, 1, tank="unstated"), STEEL,
     FE, {}),
    ("not neutralised", "not-neutralised", "advice", without(STEEL, 10, 11), STEEL, FE, {}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "severity", "bad", "sound", "basis", "top"),
    [case[1:] for case in CASES],
    ids=[case[0] for case in CASES],
)
def test_a_fault_is_found_and_its_sound_twin_passes(
    rule: str, severity: str, bad: list[Step], sound: list[Step], basis: str, top: dict[str, Any]
) -> None:
    """The bad order is found with the severity a plater would give it; the right order is silent."""
    twin_top = {} if top.get("finish") else top
    if sound in (STEEL, BRASS, ZINC, ALUMINIUM):
        twin_top = {}
    if rule == "smut-on-cast-iron":
        sound = [*sound[:6], wet("desmut", "smut-remover", polarity="anodic", current_density="5 A/dm²"),
                 rinse("r1"), *sound[6:]]  # fmt: skip
    twin(rule, severity, check(bad, basis, **top), check(sound, basis, **twin_top))


@pytest.mark.parametrize(
    ("steps", "basis"),
    [
        ([*CLEAN_COPPER, wet("activate", "dip-copper"), *COPPER], "copper"),
        (DOUBLE, "brass"),
        ([*CLEAN_ZINC, *CYANIDE], ZN),
        (STAINLESS, "stainless steel"),
        (
            [*CLEAN_STEEL, *DIP_STEEL, *NICKEL, wet("other", "chromic-predip"), *CHROMIUM, *NEUTRAL],
            FE,
        ),
    ],
    ids=[
        "sulfuric dip to acid copper",
        "two nickels",
        "zinc strike to copper",
        "acid to strike",
        "chromic pre-dip",
    ],
)
def test_where_no_rinse_is_right_none_is_asked(steps: list[Step], basis: str) -> None:
    """Silent about rinsing, as a plater would be."""
    assert not [
        f for f in check(steps, basis) if f.rule in {"rinsed-too-little", "rinsed-where-none-is-right"}
    ]


def test_copper_and_steel_do_not_share_a_dip_in_any_procedure() -> None:
    """Told in the steel's file, and in the copper's."""
    brass = route(instead(BRASS, 4, tank="sulfuric-dip"), "brass", title="Brass")
    steel = route(STEEL, title="Steel")
    twin("copper-in-the-steel-dip", "spoil", check(STEEL, others=(brass,)), check(STEEL))
    shared = check(instead(BRASS, 4, tank="sulfuric-dip"), "brass", others=(steel,))
    twin("copper-in-the-steel-dip", "spoil", shared, check(BRASS, "brass", others=(steel,)))


def test_a_rinse_before_a_tank_carries_back_what_another_route_left() -> None:
    """Chromium left in a still rinse comes into nickel on the next part."""
    chromium = route([*STEEL[:9], rinse("still")], title="Chromium")
    nickel = instead(BRASS, at(BRASS, "r3"), tank="still")
    twin("rinse-carries-back", "doubt", check(nickel, "brass", others=(chromium,)), check(nickel, "brass"))


def test_blind_holes_make_a_missing_neutraliser_a_doubt() -> None:
    """Advice on open shapes, doubt with blind holes; and none is wanted after trivalent chromium."""
    bare = without(STEEL, 10, 11)
    found = check(bare, facts=BatchFacts(blind=True))
    assert [str(f.severity) for f in found if f.rule == "not-neutralised"] == ["doubt"]
    trivalent = [plate("trivalent-chromium", 0.3, 9, "regular", dwell="4 min"), rinse("rx")]
    assert not [f for f in check([*STEEL[:8], *trivalent, bench("dry")]) if f.rule == "not-neutralised"]
    after = check([*STEEL[:8], *trivalent, *NEUTRAL])
    assert [str(f.severity) for f in after if f.rule == "not-neutralised"] == ["advice"]
