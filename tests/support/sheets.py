"""Plans made by hand for the screens: hazards, cautions, checks and hold points, whatever the tables say.

Figures are chosen to be reckoned by hand and are nobody's process. Cautions here are sample texts.
"""

from __future__ import annotations

from hashlib import sha256

from msgspec.structs import replace

from runner.procedure.model import Source
from runner.procedure.sheet import Plan, PlannedCheck, PlannedStep
from support.batches import STEPS, plan
from support.floors import ROUTE

CARDED = Source("route.toml", sha256(ROUTE.encode()).hexdigest(), ROUTE)

AMMETER = PlannedCheck(
    "Rectifier current", "during", unit="A", planned=40.0, low=36.0, high=44.0, reads="current"
)
PH = PlannedCheck("Nickel pH", "before", unit="pH", planned=4.0, low=3.8, high=4.4)
LOOK = PlannedCheck("Water break", "after", choices=("none", "broken"), accept=("none",))
COLOUR = PlannedCheck("Colour", "after", choices=("even, bright", "burnt edge"), accept=("even, bright",))

RACK = PlannedStep(
    1,
    "Rack",
    "rack",
    "hand",
    why="A loose contact burns where it touches, and starves the part.",
    do="Two contacts a part, on the back. Shake: nothing may move.",
    checks=(PlannedCheck("Contacts", "during", choices=("tight", "loose"), accept=("tight",)),),
)
DIP = replace(
    STEPS[0],
    number=2,
    signal="danger",
    hazards=("Burns skin and eyes.", "Acid into water, never water into acid."),
    ppe=("goggles", "gauntlets", "apron"),
    do="Move it all the while.",
    why="Takes the last oxide off, so that nickel holds.",
    confirm=("Eyewash runs and its way is clear",),
    checks=(LOOK,),
)
NICKEL = replace(
    STEPS[1],
    number=3,
    signal="danger",
    hazards=("May cause an allergic skin reaction.", "Suspected of causing cancer if inhaled."),
    ppe=("goggles", "gloves"),
    temperature_low_c=54.0,
    temperature_high_c=60.0,
    min_thickness_um=14.0,
    do="Hang with the current on. Air agitation running.",
    why="Levels and brightens.",
    confirm=(
        "Current on before the rack goes in",
        "Anode bags whole",
        "Nobody allergic to nickel at the tank",
    ),
    checks=(AMMETER, PH),
)
CHROMIUM = replace(
    STEPS[2],
    number=5,
    signal="danger",
    hazards=("Fatal if inhaled.", "May cause cancer.", "Burns skin and eyes; burns heal badly."),
    ppe=("goggles", "face shield", "gauntlets", "apron"),
    confirm=("Extraction is running and draws",),
    do="Current on at once, all of it.",
    why="Thin, hard, does not tarnish.",
    live_entry=True,
    entry_voltage_v=3.0,
    checks=(COLOUR,),
)
RINSE = PlannedStep(
    4,
    "Rinse",
    "rinse",
    "clock",
    tank="rinse",
    tank_title="Rinse 4",
    dwell_s=20.0,
    dwell_max_s=60.0,
    next_within_s=30.0,
)
FINAL = PlannedStep(6, "Final look", "inspect", "hand", sign="chargehand")

ALL = (RACK, DIP, NICKEL, RINSE, CHROMIUM, FINAL)


def sheet(*steps: PlannedStep) -> Plan:
    """A plan of these steps, renumbered; of all of them where none is named."""
    chosen = steps or ALL
    numbered = tuple(replace(step, number=number) for number, step in enumerate(chosen, start=1))
    return replace(plan(numbered), procedure_sha256=CARDED.sha256)
