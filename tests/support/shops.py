"""A small shop and a small route through it, as text, to be read and spoilt in tests. Invented figures."""

from __future__ import annotations

from runner.procedure.model import Procedure
from runner.procedure.reading import parse_procedure
from runner.shop.model import Shop
from runner.shop.reading import parse_shop

SHOP = """\
format = 1
title = "Small works (invented)"

[rectifier.R1]
max_current = "300 A"
max_voltage = "12 V"
meter_uncertainty = "2 %"
ah_meter = true

[rectifier.R2]
max_current = "100 A"
meter_uncertainty = "1 % of range"

[tank.soak]
title = "Soak cleaner"
solution = "soak-cleaner"

[tank.strip]
solution = "caustic-chromium-strip"
rectifier = "R2"

[tank.rinse-1]
solution = "rinse"
rinse = { stages = 2, flow = "120 L/h" }
beside = ["soak", "nickel"]

[tank.nickel]
title = "Bright nickel"
solution = "watts-nickel"
volume = "600 L"
rectifier = "R1"
temperature = { min = "52 °C", max = "140 °F" }
ph = { min = 3.8, max = 4.4 }
current_density = { min = "2 A/dm²", max = "6 A/dm²" }
efficiency = 0.955
thickness_ratio = 0.6
contents = { "nickel sulfate" = "280 g/L" }
hazards = ["Slippery floor."]
ppe = ["goggles", "apron"]

[tank.chrome]
solution = "hexavalent-chromium"
rectifier = "R1"

[rack.A]
holds = 6
tips = "0.5 dm²"

[limits]
next_within = "1 min"
"""

ROUTE = """\
format = 1
title = "Nickel and chromium on steel (invented)"
revision = "B"
basis = ["low-carbon steel", "cast iron"]
existing = ["chromium", "nickel"]
finish = "Fe/Ni20b/Cr r"
strength = "HRC 45"
summary = "Strip, clean and plate."

[[step]]
name = "Strip"
does = "strip"
tank = "strip"
removes = ["chromium"]
voltage = "6 V"
polarity = "anodic"
dwell = { min = "3 min", max = "8 min" }

[[step]]
name = "Soak clean"
does = "clean"
tank = "soak"
dwell = "5 min"
why = "Oil under a deposit is a peel."
do = "Wipe every face under the surface."

[[step]]
name = "Polish"
does = "polish"
wheel = { diameter = "10 in", speed = "35 m/s" }

[[step]]
name = "Blast"
does = "blast"
media = "glass bead"

[[step]]
name = "Rinse"
does = "rinse"
tank = "rinse-1"
next_within = "45 s"

[[step]]
name = "Bright nickel"
does = "plate"
tank = "nickel"
deposit = { metal = "nickel", type = "bright", thickness = "0.8 mil", current_density = "4 A/dm²" }
polarity = "cathodic"
live_entry = true
entry_voltage = "3 V"
next_within = "45 s"
current_within = "2 min"
hazards = ["Live rack."]
ppe = ["face shield"]
check = [
  { ask = "Rectifier current", unit = "A", when = "during" },
  { ask = "Temperature", unit = "°C", when = "before", min = "126 °F", max = 60 },
  { ask = "Colour", when = "after", choices = ["even", "burnt"], accept = ["even"] },
]
sign = "chargehand"

[[step]]
name = "Bake"
does = "bake"
dwell = "16 h"
temperature = { min = "190 °C", max = "220 °C" }
"""


def small_shop() -> Shop:
    """The shop, read."""
    return parse_shop(SHOP)


def small_route() -> Procedure:
    """The route, read."""
    return parse_procedure(ROUTE, small_shop())
