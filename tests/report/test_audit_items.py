"""What an auditor of a plating shop looks for on a batch's papers, looked for on the printed report.

The items are those of AIAG CQI-11 and AC7108, from memory and from secondary copies; `runner/record/AUDIT.md`
lists them all, those out of scope too.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.batch.moment import Moment
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.record.rehearse import rehearse
from runner.shop.reading import load_shop
from support.cli import example
from support.journals import moment
from support.pages import Printed
from support.records import record_of

PINS = "crank-pins.toml"


@pytest.fixture(scope="module")
def baked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The record of a rehearsal on high-strength steel, with a water-break check and two bakes."""
    folder = example(tmp_path_factory.mktemp("baked") / "shop")
    shop = load_shop(folder)
    procedure = load_procedure(folder / "procedures" / PINS, shop)
    plan = compute(procedure, shop, Order(3.0, 4))
    at: Moment = moment()
    return rehearse(folder / "logs", plan, shop.title, PINS, procedure.source.text, at).record.parent


WORDS: dict[str, tuple[str, tuple[str, ...]]] = {
    "identity: part": ("messy", ("part bracket, pair", "pieces in this load 2", "pieces released 2")),
    "identity: customer": ("messy", ("customer's reference C-7",)),
    "identity: specification": ("messy", ("designation asked for Fe/Ni5b",)),
    "identity: material": ("messy", ("basis metal low-carbon steel", "strength not known")),
    "identity: hardness": ("baked", ("basis metal high-carbon steel", "strength 1500 MPa")),
    "parameters: temperature": ("messy", ("Nickel temperature 52 °C to 60 °C 49.5 °C",)),
    "parameters: density": ("messy", ("current density 4 A/dm²; window 3 A/dm² to 11 A/dm²",)),
    "parameters: pH": ("baked", ("Sulfamate pH, now 3.8 pH to 4.3 pH 4.05 pH",)),
    "actual values: charge": ("messy", ("charge 1.7 A·h 1.71 A·h",)),
    "actual values: start and stop": ("messy", ("2026-01-01 10:01:07 to 10:11:07 Otto Invented",)),
    "equipment: tank and rectifier": ("baked", ("Sulfamate nickel · sulfamate-nickel · rectifier R8",)),
    "equipment: gauge": ("messy", ("Thinnest of five 5 µm to 30 µm 6.5 µm",)),
    "area and current": (
        "messy",
        ("plated area of a piece 1 dm²", "bare tips and thieves none", "current 8 A"),
    ),
    "immersion": ("messy", ("dwell 20 s to 1 min 10 min late",)),
    "transfer": ("messy", ("out of the tank before up to 45 s 1 min 40 s too long",)),
    "water break": ("baked", ("Water film unbroken all over unbroken all over",)),
    "thickness": ("messy", ("thinnest place 5 µm; asked for 5 µm 5.01 µm", "mean thickness 10 µm ± 0.2 µm")),
    "look": ("messy", ("Colour even even",)),
    "embrittlement relief: start": ("baked", ("From current off to oven 0 min to 240 min 120 min",)),
    "embrittlement relief: heat": ("baked", ("Oven temperature 190 °C to 220 °C 205 °C",)),
    "embrittlement relief: time": ("baked", ("dwell 18 h to 24 h 18 h", "Chart covers the whole time yes")),
    "deviations": (
        "messy",
        ("overstayed, step 1 Dip 9 min past its latest time", "disposition accepted as it is"),
    ),
    "deviations: authority": ("messy", ("settled by Cleo Invented, chargehand",)),
    "document control": ("messy", ("Dip, nickel, gauge (invented) revision C file route.toml SHA-256",)),
    "corrections": (
        "messy",
        ("was 0.8 A; corrected 2026-01-01 10:14:37 by Otto Invented: misread the dial",),
    ),
    "release": ("messy", ("RELEASED", "released the batch")),
}


@pytest.mark.parametrize("item", WORDS)
def test_an_item_stands_on_the_report(item: str, messy: Path, baked: Path, printed: Printed) -> None:
    """With its figure, its unit and what was asked for, as an auditor would read it."""
    name, words = WORDS[item]
    page = printed(messy if name == "messy" else baked)
    for one in words:
        assert one in page.text, item


def test_every_step_of_the_route_stands_in_order(baked: Path, printed: Printed) -> None:
    """Booking in, racking, activation, every rinse, bakes and gauging, by the procedure's own names."""
    text = printed(baked).text
    record = record_of(baked)
    names = [f"{step['number']}. {step['name']}" for step in record["step"]]
    assert len(names) > 15
    assert any("Rinse" in name for name in names)
    assert any("Rack" in name for name in names)
    at = text.index("Step by step")
    for name in names:
        at = text.index(name, at) + 1
