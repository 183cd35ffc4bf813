"""A shop with one tank of each solution, and short routes through it. Invented figures."""

from __future__ import annotations

from typing import Any

import tomli_w

from runner.plating.solutions import SOLUTIONS
from runner.procedure.model import Procedure
from runner.procedure.reading import parse_procedure
from runner.procedure.rules.check import Findings, check_procedure
from runner.procedure.rules.rule import BatchFacts
from runner.shop.model import Shop
from runner.shop.reading import parse_shop

Step = dict[str, Any]
"""A step as its file writes it."""

FE, ZN, AL = "low-carbon steel", "zinc die-cast", "aluminium"
"""Short names of bases, for tables of cases."""

RINSES = ("r1", "r2", "r3", "r4", "r5", "r6", "r7", "r8", "rc", "rx")
"""Rinses with two stages and running water."""


def shop_text(**changed: dict[str, Any]) -> dict[str, Any]:
    """The shop's file as data; keys are tanks (underscores for hyphens) with what is changed in them."""
    tanks: dict[str, dict[str, Any]] = {}
    for name, row in SOLUTIONS.items():
        if name != "rinse":
            tanks[name] = {"solution": name} | ({"rectifier": "R1"} if row.energised else {})
    tanks["hexavalent-chromium"]["temperature"] = {"min": "40 °C", "max": "44 °C"}
    for name in RINSES:
        tanks[name] = {"solution": "rinse", "rinse": {"stages": 2, "flow": "120 L/h"}}
    tanks["still"] = {"solution": "rinse", "rinse": {"stages": 1, "flow": "6 L/h"}}
    tanks["unstated"] = {"solution": "rinse"}
    tanks["dip-copper"] = {"solution": "sulfuric-dip"}
    for name, keys in changed.items():
        tanks.setdefault(name.replace("_", "-"), {}).update(keys)
    return {
        "format": 1,
        "title": "Rule works (invented)",
        "rectifier": {"R1": {"max_current": "1000 A", "max_voltage": "12 V"}},
        "tank": tanks,
    }


def a_shop(**changed: dict[str, Any]) -> Shop:
    """The shop, with some of its tanks changed."""
    return parse_shop(tomli_w.dumps(shop_text(**changed)))


SHOP = a_shop()


def wet(does: str, tank: str, dwell: str = "30 s", **keys: Any) -> Step:
    """A step in a tank, a short way from the next."""
    return {
        "name": f"{does} {tank}",
        "does": does,
        "tank": tank,
        "dwell": dwell,
        "next_within": "30 s",
        **keys,
    }


def bench(does: str, **keys: Any) -> Step:
    """A step without a tank."""
    return {"name": does, "does": does, **keys}


def rinse(tank: str = "r1") -> Step:
    """A rinse that somebody looks into."""
    look = {"ask": "Water film", "when": "after", "choices": ["whole", "broken"], "accept": ["whole"]}
    return wet("rinse", tank, check=[look])


def electro(tank: str, polarity: str, density: str = "4 A/dm²", dwell: str = "1 min") -> Step:
    """An electroclean."""
    return wet("electroclean", tank, dwell, polarity=polarity, current_density=density)


def plate(
    tank: str, um: float, density: float, kind: str | None = None, does: str = "plate", **keys: Any
) -> Step:
    """A deposit of what the tank lays down."""
    ion = SOLUTIONS[SHOP.tanks[tank].solution].ion
    assert ion is not None
    deposit: Step = {
        "metal": ion.metal,
        "thickness": f"{um} µm",
        "current_density": f"{density} A/dm²",
    }
    if kind:
        deposit["type"] = kind
    return {
        "name": f"{does} {tank}",
        "does": does,
        "tank": tank,
        "deposit": deposit,
        "polarity": "cathodic",
        "live_entry": True,
        "next_within": "20 s",
        "current_within": "2 min",
        **keys,
    }


SOAK = [wet("clean", "soak-cleaner", "5 min"), rinse("r1")]
CLEAN_STEEL = [*SOAK, electro("electrocleaner", "anodic"), rinse("r1")]
CLEAN_COPPER = [*SOAK, electro("mild-electrocleaner", "cathodic", "3 A/dm²"), rinse("r1")]
DIP_STEEL = [wet("activate", "sulfuric-dip"), rinse("r2")]
DIP_COPPER = [wet("activate", "dip-copper"), rinse("r3")]
STRIKE = [plate("wood-nickel-strike", 2, 6, "dull", "strike"), rinse("r4")]
NICKEL = [plate("watts-nickel", 20, 4, "bright"), rinse("r5")]
CHROMIUM = [plate("hexavalent-chromium", 0.3, 12, "regular", dwell="4 min"), rinse("rc")]
NEUTRAL = [wet("neutralise", "bisulfite-neutraliser"), rinse("r6"), bench("dry")]
STEEL = [*CLEAN_STEEL, *DIP_STEEL, *NICKEL, *CHROMIUM, *NEUTRAL]
BRASS = [*CLEAN_COPPER, *DIP_COPPER, *NICKEL, *CHROMIUM, *NEUTRAL]
CLEAN_ZINC = [
    wet("clean", "aluminium-cleaner", "3 min"),
    rinse("r1"),
    electro("mild-electrocleaner", "anodic", "2.5 A/dm²", "40 s"),
    rinse("r1"),
    wet("activate", "zinc-dip"),
    rinse("r7"),
]
CYANIDE = [
    plate("cyanide-copper-strike", 1.5, 2, "dull", "strike"),
    plate("cyanide-copper", 8, 3, "dull"),
    rinse("r8"),
]
ZINC = [*CLEAN_ZINC, *CYANIDE, *DIP_COPPER, *NICKEL, *CHROMIUM, *NEUTRAL]
ZINCATE = [
    wet("clean", "aluminium-cleaner", "3 min"),
    rinse("r1"),
    wet("desmut", "nitric-desmut"),
    rinse("r2"),
    wet("zincate", "zincate"),
    rinse("r7"),
    wet("desmut", "nitric-desmut"),
    rinse("r2"),
    wet("zincate", "zincate"),
    rinse("r7"),
]
ALUMINIUM = [
    *ZINCATE,
    plate("cyanide-copper-strike", 4, 2, "dull", "strike"),
    rinse("r8"),
    *DIP_COPPER,
    *NICKEL,
    *CHROMIUM,
    *NEUTRAL,
]
ZINC_PLATED = [
    *CLEAN_STEEL,
    *DIP_STEEL,
    plate("chloride-zinc", 8, 2, "bright"),
    rinse("r5"),
    wet("passivate", "passivate"),
    rinse("r6"),
    bench("dry"),
]
STRIP = [
    wet("clean", "soak-cleaner", "5 min"),
    rinse("r1"),
    wet("strip", "caustic-chromium-strip", "5 min", removes=["chromium"], polarity="anodic", voltage="6 V"),
    rinse("rx"),
    bench("dry"),
    wet("strip", "sulfuric-strip", "10 min", removes=["nickel"], polarity="anodic", voltage="6 V"),
    rinse("r2"),
    wet("clean", "soak-cleaner", "2 min"),
    rinse("r1"),
    bench("dry"),
]


def bake(hours: float, low: int = 190, high: int = 220, **keys: Any) -> Step:
    """An oven."""
    window = {"min": f"{low} °C", "max": f"{high} °C"}
    return bench("bake", dwell=f"{hours} h", temperature=window, ppe=["heat gloves"], **keys)


ETCH = wet("etch", "steel-etch", "30 s", polarity="anodic", current_density="12 A/dm²")
STRONG = [
    bake(18, 200, 220),
    *CLEAN_STEEL,
    ETCH,
    rinse("r2"),
    plate("sulfamate-nickel", 25, 3, "dull"),
    rinse("r5"),
    bench("dry", next_within="30 min"),
    bake(18),
]


def route(steps: list[Step], basis: str = "low-carbon steel", title: str = "Route", **top: Any) -> Procedure:
    """A procedure read from text."""
    head = {"format": 1, "title": title, "basis": [basis], **top}
    if "assembly" in top:
        del head["basis"]
    return parse_procedure(tomli_w.dumps({**head, "step": steps}), SHOP)


def check(
    steps: list[Step],
    basis: str = "low-carbon steel",
    *,
    shop: Shop = SHOP,
    facts: BatchFacts | None = None,
    others: tuple[Procedure, ...] = (),
    **top: Any,
) -> Findings:
    """What the rules find in steps on a basis."""
    return check_procedure(route(steps, basis, **top), shop, facts, others=others)


def without(steps: list[Step], *places: int) -> list[Step]:
    """Steps with some left out."""
    return [step for place, step in enumerate(steps) if place not in places]


def instead(steps: list[Step], place: int, **keys: Any) -> list[Step]:
    """Steps with the keys of one changed."""
    return [{**step, **keys} if at == place else step for at, step in enumerate(steps)]


def at(steps: list[Step], tank: str) -> int:
    """Where a tank first stands in steps."""
    return next(place for place, step in enumerate(steps) if step.get("tank") == tank)


def twin(rule: str, severity: str, bad: Findings, sound: Findings) -> None:
    """A rule finds the bad case, no worse and no milder than said, and keeps still at its sound twin."""
    found = [finding for finding in bad if finding.rule == rule]
    assert found, f"{rule} keeps still; found are {[finding.rule for finding in bad]}"
    assert str(found[0].severity) == severity, found[0]
    assert all(finding.why and finding.remedy and finding.source and finding.known for finding in found)
    assert not [finding for finding in sound if finding.rule == rule]
