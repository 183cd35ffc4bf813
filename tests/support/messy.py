"""A batch in which nearly everything went wrong that can, released all the same. All of it is invented.

2 dm² in nickel at 4 A/dm² are 8 A; everything else is chosen so that it can be read off the page.
"""

from __future__ import annotations

from pathlib import Path

from runner.batch import intents as do
from runner.batch.intents import Intent
from runner.batch.questions import next_action
from runner.batch.terms import Standing, Where
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.shop.reading import load_shop
from support.batches import later, wanted
from support.journals import moment
from support.works import Works, hire

BATCH = "2026-0001"

SHOP = """\
format = 1
title = "Messy works (invented)"
units = "SI"

[rectifier.R1]
max_current = "100 A"
meter_uncertainty = "2 %"

[tank.dip]
title = "Acid dip"
solution = "sulfuric-dip"

[tank.nickel]
title = "Bright nickel"
solution = "watts-nickel"
rectifier = "R1"
efficiency = 0.955
thickness_ratio = 0.5
"""

ROUTE = """\
format = 1
title = "Dip, nickel, gauge (invented)"
revision = "C"
basis = ["low-carbon steel"]
finish = "Fe/Ni5b"

[[step]]
name = "Dip"
does = "activate"
tank = "dip"
dwell = { min = "20 s", max = "60 s" }
next_within = "45 s"

[[step]]
name = "Nickel"
does = "plate"
tank = "nickel"
deposit = { metal = "nickel", type = "bright", thickness = "5 µm", current_density = "4 A/dm²" }
polarity = "cathodic"
check = [
  { ask = "Rectifier current", unit = "A", when = "during" },
  { ask = "Nickel temperature", unit = "°C", when = "during", min = "52 °C", max = "60 °C" },
]

[[step]]
name = "Gauge"
does = "measure"
check = [
  { ask = "Thinnest of five", unit = "µm", when = "during", min = "5 µm", max = "30 µm" },
  { ask = "Colour", when = "during", choices = ["even", "burnt"], accept = ["even"] },
]
sign = "chargehand"
"""


AGAINST = (
    Standing("no-rinse", "spoil", 1, "no rinse between dip and nickel"),
    Standing("no-panel", "advice", None, "no panel is plated beside the parts"),
)
"""What is said to stand against the route; the wording is made up for this batch."""


def make_messy(folder: Path, keys: Path, units: str = "SI") -> Works:
    """A shop with that one batch, sealed."""
    (folder / "procedures").mkdir(parents=True)
    shop_text = SHOP.replace('units = "SI"', f'units = "{units}"')
    (folder / "procedures" / "shop.toml").write_text(shop_text, encoding="utf-8")
    (folder / "procedures" / "route.toml").write_text(ROUTE, encoding="utf-8")
    (folder / "logs").mkdir()
    floor = Floor(folder, Keys(keys, rounds=1))
    people = hire(floor)
    shop = load_shop(folder)
    procedure = load_procedure(folder / "procedures" / "route.toml", shop)
    plan = compute(procedure, shop, Order(1.0, 2))
    now = later(moment(), 60)
    opened = floor.open_batch(procedure.source, plan, "bracket, pair", "C-7", people["otto"], now, AGAINST)
    assert opened == BATCH

    def act(seconds: float, intent: Intent, who: str | None = None) -> None:
        nonlocal now
        now = later(now, seconds)
        floor.act(BATCH, intent, now, people[who] if who else None)

    def confirm() -> None:
        while (action := next_action(floor.hold(BATCH).state, now)).name == "confirm":
            act(1, do.Confirm(action.step))

    act(0, do.Override(1, "the rinse is a spray over the dip"), "cleo")
    confirm()
    act(5, do.Enter())
    confirm()
    act(600, do.Leave())  # nine minutes late
    act(100, do.Enter())  # 100 s out of the tank, where 45 s are allowed
    act(5, do.AnswerValue(2, 0, 8.0))
    act(5, do.AnswerValue(2, 1, 49.5))  # too cold
    act(90, do.ReadCurrent(0.8))  # outside the window, and a slip of the pen
    act(10, do.Correct(floor.hold(BATCH).state.lines - 1, "misread the dial", value=7.5))
    act(30, do.Interrupt(Where.IN_TANK))
    act(20, do.Resume())
    act(5, do.WriteNote("fuse replaced"))
    while (action := next_action(floor.hold(BATCH).state, now)).name != "none":
        if action.name == "wait":
            now = later(now, action.wait_s or 0)
            continue
        intent = wanted(floor.hold(BATCH).state, action)
        if action.question and action.question.asked.unit == "µm":
            intent = do.AnswerValue(action.step, 0, 6.5)
        signs = action.name in {"sign", "settle", "release"}
        act(2, intent, "cleo" if signs else None)
    floor.close()
    return Works(folder, people)
