"""What is worn at a tank, and what is done first when it goes wrong?

Owns protective equipment and the one line of first aid for each kind of solution. Must not know the tanks.
Every line is from memory and defers to the supplier's safety data sheet; nothing here is medical advice.
Gloves are splash protection only.
"""

from __future__ import annotations

BASE: tuple[str, ...] = ("goggles", "gauntlets", "apron", "boots")
"""At any tank."""

SPLASH: tuple[str, ...] = ("goggles", "face shield", "gauntlets", "apron", "boots")
"""Where a splash burns at once."""

_SHEET = "the data sheet decides"

GLOVES_NICKEL = f"gloves: nitrile, {_SHEET}"
GLOVES_ACID = f"gloves: nitrile for dilute, butyl or neoprene for strong, {_SHEET}"
GLOVES_CHROMIC = f"gloves: PVC, butyl or neoprene, no leather or cotton, {_SHEET}"
GLOVES_CAUSTIC = f"gloves: neoprene, butyl, nitrile or PVC, {_SHEET}"
GLOVES_CYANIDE = f"gloves: nitrile, neoprene or butyl, {_SHEET}"
GLOVES_NITRIC = f"gloves: butyl or fluoroelastomer, no thin nitrile, {_SHEET}"
GLOVES_BISULFITE = f"gloves: nitrile or PVC, {_SHEET}"
GLOVES_SOLVENT = f"gloves: butyl or laminate for this solvent, {_SHEET}"

_CALL = "Call for help and show the safety data sheet."

AID_SKIN_AND_EYES = f"Wash the skin; rinse eyes for 15 min. {_CALL}"
AID_ACID = f"Rinse now, 15 to 20 min, clothing off; neutralise nothing on skin; hospital. {_CALL}"
AID_CHROMIC = f"Rinse now and long; burns go to hospital early, they can poison the body. {_CALL}"
AID_CAUSTIC = f"Rinse now, at least 30 min, eyes above all; hospital. {_CALL}"
AID_CYANIDE = (
    "Out to fresh air, call the emergency number and say cyanide; clothing off; no mouth-to-mouth; "
    f"rescue only by the trained with breathing apparatus. {_CALL}"
)
AID_NITRIC = f"Rinse now; brown fumes breathed in go to hospital even if all seems well. {_CALL}"
AID_FLUORIDE = f"Rinse now, calcium gluconate gel on the burn, hospital at once. {_CALL}"
AID_BISULFITE = f"Out to fresh air; rinse eyes; asthma may follow. {_CALL}"
AID_HOT_WATER = f"Cool the scald under running water. {_CALL}"
AID_SOLVENT = f"Out to fresh air; wash the skin; rinse eyes; never make anyone vomit. {_CALL}"
