"""What can hurt at each kind of solution?

Owns the safety rows that solutions share: signal word, hazard codes, plain sentences for the operator's
screen, what is worn, first aid, and the caution asked for beforehand. Must not know any one solution. Each
row is the usual classification from memory and ends by deferring to the supplier's safety data sheet.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.plating import cautions, protection
from runner.plating.hazards import CLP, DEFER, Signal
from runner.plating.sources import Source


@dataclass(frozen=True, slots=True)
class Safety:
    """The safety lines of one kind of solution.

    Attributes:
        signal: GHS signal word, or None where a solution carries none.
        h_statements: Hazard codes, keys of `runner.plating.hazards.H_STATEMENTS`.
        hazards: Plain sentences for the operator's screen, the last one deferring to the data sheet.
        ppe: What is worn.
        first_aid: What is done first.
        confirm: Cautions confirmed in the step before, without the one for live current.
        source: Of the classification.
    """

    signal: Signal | None
    h_statements: tuple[str, ...]
    hazards: tuple[str, ...]
    ppe: tuple[str, ...]
    first_aid: tuple[str, ...]
    confirm: tuple[str, ...]
    source: Source = CLP


PLAIN_WATER = Safety(None, (), (), protection.BASE, (), ())

HOT_WATER = Safety(None, (), ("Hot water scalds.", DEFER), protection.BASE, (protection.AID_HOT_WATER,), ())

NICKEL_BATH = Safety(
    "Danger",
    ("H302", "H332", "H315", "H317", "H334", "H341", "H350i", "H360FD", "H372", "H410"),
    (
        "Nickel salts make skin and lungs allergic for life.",
        "The mist may cause cancer: extraction on.",
        DEFER,
    ),
    (*protection.BASE, protection.GLOVES_NICKEL),
    (protection.AID_SKIN_AND_EYES,),
    (cautions.NICKEL,),
)

NICKEL_STRIKE = Safety(
    "Danger",
    ("H301", "H331", "H315", "H317", "H334", "H335", "H341", "H350i", "H360D", "H372", "H410"),
    (
        "Nickel chloride is toxic breathed in or swallowed.",
        "Hydrochloric acid fumes; the mist may cause cancer: extraction on.",
        DEFER,
    ),
    (*protection.SPLASH, protection.GLOVES_ACID),
    (protection.AID_ACID,),
    (cautions.NICKEL, cautions.ACID),
)

ACID_COPPER = Safety(
    "Danger",
    ("H302", "H315", "H318", "H410"),
    ("Acid and copper sulfate damage the eyes.", DEFER),
    (*protection.BASE, protection.GLOVES_ACID),
    (protection.AID_ACID,),
    (cautions.ACID,),
)

CYANIDE_BATH = Safety(
    "Danger",
    ("H300", "H310", "H330", "H372", "H410", "H290", "EUH032"),
    (
        "Cyanide kills: swallowed, through the skin, or as gas.",
        "Acid near it frees a deadly gas. No acid on rack, gloves or floor.",
        "Never alone at this tank; additions by the chargehand only.",
        DEFER,
    ),
    (*protection.SPLASH, protection.GLOVES_CYANIDE),
    (protection.AID_CYANIDE,),
    (cautions.CYANIDE,),
)

ALKALINE_COPPER = Safety(
    "Warning",
    ("H302", "H315", "H319", "H410"),
    ("Irritates eyes and skin.", DEFER),
    (*protection.BASE, protection.GLOVES_NICKEL),
    (protection.AID_SKIN_AND_EYES,),
    (cautions.HOT_ALKALI,),
)

CHROMIC_BATH = Safety(
    "Danger",
    (
        "H271",
        "H301",
        "H311",
        "H330",
        "H314",
        "H317",
        "H334",
        "H340",
        "H350",
        "H361f",
        "H372",
        "H335",
        "H410",
    ),
    (
        "Chromic acid burns deep and causes cancer: extraction on first.",
        "It sets fire to rags, oil and solvent.",
        "Hydrogen comes off: current off before the rack is lifted.",
        DEFER,
    ),
    (*protection.SPLASH, protection.GLOVES_CHROMIC),
    (protection.AID_CHROMIC,),
    (cautions.CHROMIC,),
)

TRIVALENT_BATH = Safety(
    "Warning",
    ("H302", "H315", "H317", "H319", "H410"),
    ("Irritates eyes and skin; may cause allergy.", "Hydrogen comes off: extraction on.", DEFER),
    (*protection.BASE, protection.GLOVES_NICKEL),
    (protection.AID_SKIN_AND_EYES,),
    (cautions.TRIVALENT,),
)

ZINC_BATH = Safety(
    "Danger",
    ("H302", "H318", "H335", "H410"),
    ("Zinc chloride damages the eyes.", DEFER),
    (*protection.BASE, protection.GLOVES_NICKEL),
    (protection.AID_SKIN_AND_EYES,),
    (cautions.ACID,),
)

PASSIVATE_BATH = Safety(
    "Warning",
    ("H302", "H315", "H317", "H319", "H410"),
    (
        "Irritates eyes and skin; may cause allergy.",
        "Some passivates hold chromium(VI), a cause of cancer: read the sheet.",
        DEFER,
    ),
    (*protection.BASE, protection.GLOVES_NICKEL),
    (protection.AID_SKIN_AND_EYES,),
    (cautions.ACID,),
)

WEAK_ACID = Safety(
    "Warning",
    ("H315", "H319"),
    (
        "Irritates eyes and skin.",
        "Sulfuric acid from about 15 % by mass burns: then wear a face shield.",
        DEFER,
    ),
    (*protection.BASE, protection.GLOVES_ACID),
    (protection.AID_ACID,),
    (cautions.WEAK_ACID,),
)

FUMING_ACID = Safety(
    "Warning",
    ("H315", "H319", "H335"),
    ("Acid irritates eyes, skin and lungs; it fumes: extraction on.", DEFER),
    (*protection.BASE, protection.GLOVES_ACID),
    (protection.AID_ACID,),
    (cautions.ACID,),
)

STRONG_ACID = Safety(
    "Danger",
    ("H290", "H314"),
    ("Acid burns skin and eyes at once.", "Acid goes into water, never water into acid.", DEFER),
    (*protection.SPLASH, protection.GLOVES_ACID),
    (protection.AID_ACID,),
    (cautions.STRONG_ACID,),
)

NITRIC_ACID = Safety(
    "Danger",
    ("H272", "H290", "H314", "H331", "EUH071"),
    (
        "Nitric acid burns skin and eyes at once.",
        "Brown fumes on metal harm the lungs hours later: extraction on.",
        "It sets fire to rags, oil and solvent.",
        DEFER,
    ),
    (*protection.SPLASH, protection.GLOVES_NITRIC),
    (protection.AID_NITRIC,),
    (cautions.STRONG_ACID,),
)

FLUORIDE_ACID = Safety(
    "Danger",
    ("H290", "H314"),
    ("Fluoride burns show late and go deep.", DEFER),
    (*protection.SPLASH, protection.GLOVES_ACID),
    (protection.AID_FLUORIDE,),
    (cautions.FLUORIDE,),
)

HOT_ALKALI = Safety(
    "Danger",
    ("H290", "H314"),
    ("Hot alkali burns skin and blinds.", DEFER),
    (*protection.SPLASH, protection.GLOVES_CAUSTIC),
    (protection.AID_CAUSTIC,),
    (cautions.HOT_ALKALI,),
)

ELECTRIC_ALKALI = Safety(
    "Danger",
    ("H290", "H314"),
    (
        "Hot alkali burns skin and blinds.",
        "Hydrogen gathers in the foam: current off before the rack is lifted.",
        DEFER,
    ),
    (*protection.SPLASH, protection.GLOVES_CAUSTIC),
    (protection.AID_CAUSTIC,),
    (cautions.HOT_ALKALI,),
)

MILD_ALKALI = Safety(
    "Warning",
    ("H315", "H319"),
    ("Irritates eyes and skin.", DEFER),
    (*protection.BASE, protection.GLOVES_CAUSTIC),
    (protection.AID_SKIN_AND_EYES,),
    (cautions.HOT_ALKALI,),
)

STRONG_CAUSTIC = Safety(
    "Danger",
    ("H290", "H314"),
    ("Strong caustic burns and blinds.", "On aluminium and zinc it froths and gives hydrogen.", DEFER),
    (*protection.SPLASH, protection.GLOVES_CAUSTIC),
    (protection.AID_CAUSTIC,),
    (cautions.STRONG_CAUSTIC,),
)

CHROMATE_STRIP = Safety(
    "Danger",
    ("H290", "H314", "H317", "H350", "H410"),
    (
        "Alkali burns and blinds.",
        "Stripped chromium becomes chromium(VI), which causes cancer.",
        "Gas carries a mist: extraction on before the current.",
        DEFER,
    ),
    (*protection.SPLASH, protection.GLOVES_CHROMIC),
    (protection.AID_CAUSTIC, protection.AID_CHROMIC),
    (cautions.STRONG_CAUSTIC,),
)

BISULFITE_RINSE = Safety(
    "Warning",
    ("H302", "EUH031"),
    ("Acid frees sulfur dioxide from it, which chokes: extraction on.", DEFER),
    (*protection.BASE, protection.GLOVES_BISULFITE),
    (protection.AID_BISULFITE,),
    (cautions.BISULFITE,),
)
