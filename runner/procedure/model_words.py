"""The closed lists of words that a procedure is written in.

Owns the words and nothing else: what a word entails is said where it is used.
"""

from __future__ import annotations

from typing import Literal, get_args

from runner.plating.finish import METALS as DESIGNATED

BasisWord = Literal[
    "low-carbon steel",
    "high-carbon steel",
    "cast iron",
    "stainless steel",
    "copper",
    "brass",
    "leaded brass",
    "bronze",
    "zinc die-cast",
    "aluminium",
    "nickel",
]
"""What a part is made of."""

DoesWord = Literal[
    "rack",
    "strip",
    "polish",
    "clean",
    "electroclean",
    "etch",
    "desmut",
    "zincate",
    "rinse",
    "activate",
    "strike",
    "plate",
    "neutralise",
    "passivate",
    "dry",
    "bake",
    "mask",
    "blast",
    "paint",
    "inspect",
    "measure",
    "unrack",
    "other",
]
"""What a step does."""

TypeWord = Literal[
    "bright", "semi-bright", "high-sulfur", "dull", "regular", "microporous", "microcracked", "hard"
]
"""What kind of deposit is laid down."""

PolarityWord = Literal["cathodic", "anodic"]
"""What the part is while current is on."""

BASES: tuple[str, ...] = get_args(BasisWord)
DOES: tuple[str, ...] = get_args(DoesWord)
POLARITIES: tuple[str, ...] = get_args(PolarityWord)

CHROMIUM_TYPES: tuple[str, ...] = ("regular", "microporous", "microcracked", "hard")
"""Types of chromium, and of nothing else."""

TYPES: tuple[str, ...] = get_args(TypeWord)

METALS: tuple[str, ...] = tuple(DESIGNATED.values())
"""Metals that can be laid down."""

LAYERS: tuple[str, ...] = (
    *METALS,
    "brass",
    "bronze",
    "lead",
    "paint",
    "lacquer",
    "powder coat",
    "enamel",
    "rust",
    "scale",
    "oxide",
    "chromate film",
    "phosphate film",
    "unknown",
)
"""What can lie on a part when it comes in, and be taken off."""
