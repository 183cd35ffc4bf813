"""Current, hydrogen, designation, timing and cautions: each rule finds its fault, its sound twin is silent.

Bakes are those of ASTM B850-98(2009), Table 1, read in a secondary copy; relief before plating that of ASTM
B849, from memory, doubtful; windows of chromium those of EPA-453/B-95-001, Table 3-1, read.
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
    DIP_COPPER,
    DIP_STEEL,
    ETCH,
    FE,
    NEUTRAL,
    NICKEL,
    SOAK,
    STEEL,
    STRIKE,
    STRONG,
    ZINC,
    ZINC_PLATED,
    ZN,
    Step,
    a_shop,
    at,
    bake,
    bench,
    check,
    electro,
    instead,
    plate,
    rinse,
    twin,
    wet,
)

STEEL_1500 = {"strength": "1500 MPa"}
DOUBLE = [
    *CLEAN_COPPER,
    *DIP_COPPER,
    plate("semi-bright-nickel", 15, 4, "semi-bright"),
    plate("watts-nickel", 10, 4, "bright"),
    rinse("r5"),
    *CHROMIUM,
    *NEUTRAL,
]
COPPERED = [
    *CLEAN_STEEL,
    *DIP_STEEL,
    *STRIKE,
    plate("acid-copper", 20, 3, "bright"),
    rinse("r5"),
    *DIP_COPPER,
    *NICKEL,
    *CHROMIUM,
    *NEUTRAL,
]
SEMI = at(DOUBLE, "semi-bright-nickel")
NI = at(STEEL, "watts-nickel")
CR = at(STEEL, "hexavalent-chromium")


def _deposit(steps: list[Step], place: int, **keys: Any) -> list[Step]:
    return instead(steps, place, deposit={**steps[place]["deposit"], **keys})


CASES: list[tuple[str, str, list[Step], list[Step], str, dict[str, Any]]] = [
    ("wrong-polarity", "spoil", instead(STEEL, NI, polarity="anodic"), STEEL, FE, {}),
    ("wrong-polarity", "spoil", [wet("etch", "steel-etch", polarity="cathodic", current_density="12 A/dm²")],
      [ETCH],
     FE, {}),
    ("no-current", "doubt", [wet("etch", "steel-etch")], [ETCH], FE, {}),
    ("density-outside-the-window", "spoil", _deposit(STEEL, NI, current_density="40 A/dm²"), STEEL,
     FE, {}),
    ("density-outside-the-window", "doubt", _deposit(STEEL, NI, current_density="12 A/dm²"), STEEL,
     FE, {}),
    ("density-outside-the-window", "spoil", _deposit(STEEL, CR, current_density="2 A/dm²"), STEEL,
     FE, {}),
    ("chromium-burnt-or-bare", "doubt", _deposit(STEEL, CR, current_density="20 A/dm²"), STEEL, FE,
     {}),
    ("chromium-burnt-or-bare", "doubt", _deposit(STEEL, CR, current_density="6 A/dm²"), STEEL, FE,
     {}),
    ("dwell-too-short-for-the-thickness", "spoil", instead(STEEL, CR, dwell="1 min"), STEEL, FE, {}),
    ("dwell-too-short-for-the-thickness", "doubt", instead(STEEL, CR, dwell="8 min"), STEEL, FE, {}),
    ("strength-not-known", "doubt", STRONG, STRONG, "high-carbon steel", {}),
    ("no-relief-bake", "danger", STRONG[:-1], STRONG, "high-carbon steel", STEEL_1500),
    ("no-relief-bake", "danger", [*STRONG[:-1], bake(8)], STRONG, "high-carbon steel", STEEL_1500),
    ("no-relief-bake", "danger", [*STRONG[:-1], bake(18, 120, 150)], STRONG, "high-carbon steel", STEEL_1500),
    ("no-relief-bake", "doubt", [*STRONG[:-1], bake(18, 190, 300)], STRONG, "high-carbon steel", STEEL_1500),
    ("bake-too-late", "danger", instead(STRONG, len(STRONG) - 2, next_within="6 h"), STRONG,
      "high-carbon steel",
     STEEL_1500),
    ("bake-too-late", "spoil", [*STRONG[:-1], bench("polish", ppe=["goggles"]), bake(18)], STRONG,
     "high-carbon steel", STEEL_1500),
    ("cathodic-on-strong-steel", "spoil", instead(STRONG, 3, polarity="cathodic"), STRONG,
      "high-carbon steel",
     STEEL_1500),
    ("acid-on-strong-steel", "spoil",
     [*STRONG[:5], wet("activate", "hydrochloric-pickle", "5 min"), *STRONG[6:]], STRONG, "high-carbon steel",
     STEEL_1500),
    ("acid-on-strong-steel", "doubt",
     [*STRONG[:5], wet("activate", "hydrochloric-pickle", "20 s"), *STRONG[6:]],
     [*STRONG[:5], wet("activate", "sulfuric-dip", "20 s"), *STRONG[6:]], "high-carbon steel", STEEL_1500),
    ("no-stress-relief", "doubt", [bench("polish", ppe=["goggles"]), *STRONG[1:]], STRONG,
      "high-carbon steel",
     STEEL_1500),
    ("no-stress-relief", "doubt", [bake(3, 200, 220), *STRONG[1:]], STRONG, "high-carbon steel", STEEL_1500),
    ("no-stress-relief", "doubt", [bake(18, 100, 150), *STRONG[1:]], STRONG, "high-carbon steel", STEEL_1500),
    ("passivated-then-heated", "spoil", [*ZINC_PLATED, bake(8)],
     [*ZINC_PLATED[:8], bench("dry"), bake(8), wet("activate", "zinc-dip"), *ZINC_PLATED[8:]], FE,
     {}),
    ("passivated-then-heated", "doubt", [*ZINC_PLATED[:-1], wet("rinse", "hot-rinse"), bench("dry")],
      ZINC_PLATED,
     FE, {}),
    ("another-basis-designated", "spoil", BRASS, STEEL, "brass", {"finish": "Fe/Ni20b/Cr r"}),
    ("layer-missing", "spoil", STEEL, COPPERED, FE, {"finish": "Fe/Cu20a/Ni20b/Cr r"}),
    ("thinner-than-designated", "spoil", _deposit(STEEL, NI, thickness="15 µm"), STEEL, FE,
     {"finish": "Fe/Ni20b/Cr r"}),
    ("another-type-than-designated", "spoil", BRASS, DOUBLE, "brass", {"finish": "Cu/Ni20d/Cr r"}),
    ("another-type-than-designated", "spoil", _deposit(STEEL, CR, type="microporous"), STEEL, FE,
     {"finish": "Fe/Ni20b/Cr r"}),
    ("another-type-than-designated", "doubt", ZINC, COPPERED, ZN, {"finish": "Zn/Cu8a/Ni20b/Cr r"}),
    ("shares-of-nickel", "doubt", _deposit(DOUBLE, SEMI, thickness="8 µm"), DOUBLE, "brass", {}),
    ("type-from-another-bath", "doubt", _deposit(STEEL, CR, type="hard"), STEEL, FE, {}),
    ("type-from-another-bath", "doubt", instead(DOUBLE, SEMI, tank="watts-nickel"), DOUBLE, "brass", {}),
    ("type-from-another-bath", "doubt", instead(STEEL, NI, tank="sulfamate-nickel"), STEEL, FE, {}),
    ("waits-too-long", "doubt",
     instead(instead(STEEL, NI, current_within="20 min"), NI + 1, dwell="8 min"), STEEL, FE, {}),
    ("current-gap-not-limited", "doubt", instead(STEEL, NI, current_within="30 min"), STEEL, FE, {}),
    ("current-gap-not-limited", "doubt",
     [{k: v for k, v in step.items() if k not in {"current_within", "next_within"}} for step in STEEL], STEEL,
     FE, {}),
    ("way-not-limited", "doubt", instead(STEEL, 4, next_within="10 min"), STEEL, FE, {}),
    ("way-not-limited", "doubt", [{k: v for k, v in step.items() if k != "next_within"} for step in STEEL],
      STEEL,
     FE, {}),
    ("nothing-worn", "advice", [bench("polish")], [bench("polish", ppe=["goggles"])], "brass", {}),
    ("tank-not-named", "doubt", [bench("activate")], [wet("activate", "sulfuric-dip")], FE, {}),
    ("tank-for-something-else", "doubt", [wet("clean", "sulfuric-dip")], SOAK, FE, {}),
    ("tank-for-something-else", "doubt", [wet("activate", "hydrochloric-chromium-strip")], SOAK, FE, {}),
    ("tank-for-something-else", "doubt", [wet("rinse", "watts-nickel")], SOAK, FE, {}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "severity", "bad", "sound", "basis", "top"),
    CASES,
    ids=[f"{n}-{c[0]}" for n, c in enumerate(CASES)],
)
def test_a_figure_out_of_place_is_found_and_its_sound_twin_passes(
    rule: str, severity: str, bad: list[Step], sound: list[Step], basis: str, top: dict[str, Any]
) -> None:
    """Each rule with the figure that breaks it, and one that a plater would sign."""
    own = {**top}
    if sound in (STEEL, COPPERED):
        basis_of_sound = FE
        own = {"finish": "Fe/Cu20a/Ni20b/Cr r" if sound is COPPERED else "Fe/Ni20b/Cr r"}
    else:
        basis_of_sound = basis
    if rule == "strength-not-known":
        own = STEEL_1500
    twin(rule, severity, check(bad, basis, **top), check(sound, basis_of_sound, **own))


@pytest.mark.parametrize(
    ("strength", "hours"),
    [("1001 MPa", 8), ("1150 MPa", 10), ("1250 MPa", 12), ("1350 MPa", 14), ("1450 MPa", 16), ("1550 MPa",
      18),
     ("1650 MPa", 20), ("1750 MPa", 22), ("HRC 45", 18)],
)  # fmt: skip
def test_the_bake_is_as_long_as_its_strength_asks(strength: str, hours: int) -> None:
    """ASTM B850-98(2009), Table 1, read in a secondary copy: an hour less is a danger, the hours suffice."""
    short = check([*STRONG[:-1], bake(hours - 1)], "high-carbon steel", strength=strength)
    enough = check([*STRONG[:-1], bake(hours)], "high-carbon steel", strength=strength)
    twin("no-relief-bake", "danger", short, enough)


def test_weaker_steel_and_other_metals_want_no_bake() -> None:
    """ASTM B850, class ER-0, from memory: below 1000 MPa none; and brass takes up no hydrogen."""
    assert not [f for f in check(STRONG[:-1], "high-carbon steel", strength="950 MPa") if "bake" in f.rule]
    assert not [f for f in check(BRASS, "brass", strength="1500 MPa") if "bake" in f.rule]


def test_the_load_is_asked_only_where_it_is_known() -> None:
    """Over the rectifier, under a tenth of it, and over the tank; nothing without an area."""
    small = BatchFacts(piece_dm2=0.5, pieces=1)
    huge = BatchFacts(piece_dm2=30, pieces=10)
    fits = BatchFacts(piece_dm2=5, pieces=10)
    limited = a_shop(watts_nickel={"max_area": "10 dm²"})
    twin("rectifier-and-tank-load", "spoil", check(STEEL, facts=huge), check(STEEL))
    twin("rectifier-and-tank-load", "doubt", check(STEEL, facts=small), check(STEEL))
    found = check(NICKEL, facts=fits, shop=limited)
    assert any("the tank takes 10 dm²" in f.message for f in found if f.rule == "rectifier-and-tank-load")
    one_load = check(NICKEL, facts=fits)
    assert not [f for f in one_load if f.rule == "rectifier-and-tank-load"]


def test_a_plan_for_a_minimum_asks_for_the_mean_over_it() -> None:
    """Thinnest over mean of 0.5 wants twice the time: enough for the mean is a doubt, not ruin."""
    uneven = a_shop(watts_nickel={"thickness_ratio": 0.5})
    timed = instead(STEEL, NI, dwell="27 min")
    twin("dwell-too-short-for-the-thickness", "doubt", check(timed, shop=uneven), check(timed))


def test_cautions_of_what_the_row_does_not_know() -> None:
    """Contents that name another class, and a dip too strong for the cautions of a weak one."""
    mixed = {"zincate": {"contents": {"sodium cyanide": "10 g/L"}}}
    told = {"zincate": {"contents": {"sodium cyanide": "10 g/L"}, "hazards": ["Holds cyanide."]}}
    bad, sound = (check(ALUMINIUM, AL, shop=a_shop(**tanks)) for tanks in (mixed, told))
    twin("contents-beyond-the-row", "doubt", bad, sound)
    strong = check(STEEL, shop=a_shop(sulfuric_dip={"contents": {"sulfuric acid": "300 g/L"}}))
    weak = check(STEEL, shop=a_shop(sulfuric_dip={"contents": {"sulfuric acid": "88 g/L"}}))
    twin("contents-beyond-the-row", "doubt", strong, weak)


def test_a_tank_kept_where_its_solution_does_not_work() -> None:
    """A window wholly outside the table's is a doubt; one inside or across it is the shop's own affair."""
    cold = a_shop(watts_nickel={"temperature": {"min": "15 °C", "max": "25 °C"}})
    warm = a_shop(watts_nickel={"temperature": {"min": "40 °C", "max": "58 °C"}})
    twin("tank-off-its-window", "doubt", check(STEEL, shop=cold), check(STEEL, shop=warm))


def test_an_activated_surface_may_not_wait_for_a_quarter_of_an_hour() -> None:
    """Nickel that may wait over 15 min before chromium is ruin, as the longest that the route allows."""
    slow = instead(instead(STEEL, NI, current_within="20 min"), NI + 1, dwell="19 min")
    twin("waits-too-long", "spoil", check(slow), check(STEEL))


def test_the_option_goes_before_the_strength_in_the_file() -> None:
    """A certificate in hand counts for more than what the route was written for."""
    found = check([*CLEAN_STEEL, electro("electrocleaner", "cathodic")], strength="1500 MPa")
    assert any(f.rule == "cathodic-on-strong-steel" for f in found)


def test_a_part_of_solid_nickel_is_plated_like_any_other() -> None:
    """Activated nickel is the basis itself here, and no layer of the route lies on it."""
    activation = wet("activate", "nickel-activation", polarity="anodic", current_density="2 A/dm²")
    clean = [*SOAK, electro("electrocleaner", "anodic"), rinse("r1")]
    found = check([*clean, activation, rinse("r2"), *NICKEL, *CHROMIUM, *NEUTRAL], "nickel")
    assert not [f for f in found if f.severity != "advice"], found
