"""What does a finish code ask for?

Owns the coating designations of ISO 1456 and ISO 27830, read and written: ``Fe/Cu20a/Ni30d/Cr mp`` is steel,
20 µm of ductile acid copper, 30 µm of double-layer nickel and microporous chromium. Must not know how the
finish is made, nor which service it suits.

Letters: Metal Finishing Guidebook, p. 227 (read in the publication); copper's ``a`` is from memory.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from runner.faults import InputFault, fault
from runner.plating.sources import Figure, Known, Source
from runner.text import shown

DEFAULT_CHROMIUM_UM = Figure(
    0.3, "µm", Source("Metal Finishing Guidebook, p. 227: left out of the code when it is 0.3 µm", Known.READ)
)

BASES: dict[str, str] = {"Fe": "steel", "Zn": "zinc alloy", "Cu": "copper", "Al": "aluminium"}
"""Basis metals by symbol; copper stands for its alloys too."""

METALS: dict[str, str] = {
    "Ni": "nickel",
    "Cr": "chromium",
    "Cu": "copper",
    "Zn": "zinc",
    "Sn": "tin",
    "Ag": "silver",
    "Au": "gold",
    "Cd": "cadmium",
}
"""Layers by symbol."""


@dataclass(frozen=True, slots=True)
class TypeLetter:
    """One letter that follows a layer.

    Attributes:
        symbol: Of the metal.
        letter: As written.
        word: As this program says it.
        printed: What the publication says, where the word is shorter or another.
        known: How it is known.
    """

    symbol: str
    letter: str
    word: str
    printed: str
    known: Known


TYPE_LETTERS: tuple[TypeLetter, ...] = (
    TypeLetter("Ni", "b", "bright", "bright", Known.READ),
    TypeLetter("Ni", "d", "double", "double or multilayer", Known.READ),
    TypeLetter("Ni", "p", "dull", "dull or semi-bright, unpolished", Known.READ),
    # The printed table calls this letter "polished" (dull or semi-bright nickel, then polished).
    TypeLetter("Ni", "s", "semi-bright", "polished", Known.DOUBTFUL),
    TypeLetter("Cr", "r", "regular", "regular", Known.READ),
    TypeLetter("Cr", "mp", "microporous", "microporous", Known.READ),
    TypeLetter("Cr", "mc", "microcracked", "microcracked", Known.READ),
    TypeLetter("Cu", "a", "ductile", "ductile acid copper", Known.MEMORY),
)

_BASE = re.compile(r"\s*([A-Za-z]+)\s*/\s*")
_LAYER = re.compile(r"([A-Z][a-z]?)([0-9]+(?:\.[0-9]+)?)?(?:\s*([a-z]{1,2}))?(?=[\s/]|$)")
_GAP = re.compile(r"\s*/\s*|\s+")
_PLASTICS = "PL"


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of a finish.

    Attributes:
        metal: Plain name.
        thickness_um: Least local thickness on the significant surface.
        type: A word of `TYPE_LETTERS`, or None where the code has no letter.
    """

    metal: str
    thickness_um: float
    type: str | None


@dataclass(frozen=True, slots=True)
class Finish:
    """A finish as designated.

    Attributes:
        basis: A value of `BASES`.
        layers: In the order in which they are plated.
    """

    basis: str
    layers: tuple[Layer, ...]


def _wrong(text: str, what: str, remedy: str) -> InputFault:
    return fault(f"finish {shown(text, 80)!r}: {what}", remedy)


def _basis(text: str, symbol: str) -> str:
    if symbol == _PLASTICS:
        raise _wrong(
            text,
            "plated plastics are another trade",
            "give a metal basis; plastics follow ISO 4525 and are prepared otherwise",
        )
    if symbol not in BASES:
        known = ", ".join(f"{sign} ({name})" for sign, name in BASES.items())
        raise _wrong(
            text, f"{shown(symbol, 20)!r} is no basis metal known here", f"begin with one of {known}"
        )
    return BASES[symbol]


def _thickness_um(text: str, symbol: str, written: str | None) -> float:
    if written is None:
        if METALS[symbol] != "chromium":
            raise _wrong(
                text, f"{symbol} has no thickness", f"write it in µm after the symbol, as {symbol}20"
            )
        return DEFAULT_CHROMIUM_UM.value
    thickness_um = float(written)
    if thickness_um == 0 or not math.isfinite(thickness_um):
        raise _wrong(text, f"{symbol} has a thickness of {shown(written, 20)} µm", "give one above zero")
    return thickness_um


def _type(text: str, symbol: str, letter: str | None) -> str | None:
    if letter is None:
        return None
    rows = [row for row in TYPE_LETTERS if row.symbol == symbol]
    for row in rows:
        if row.letter == letter:
            return row.word
    known = ", ".join(f"{row.letter} ({row.word})" for row in rows)
    remedy = f"give one of {known}" if rows else f"leave the letter out after {symbol}"
    raise _wrong(text, f"{symbol} has no type {shown(letter, 20)!r}", remedy)


def read_finish(text: str) -> Finish:
    """A designation, taken apart.

    Layers stand apart by a stroke or a space; a chromium letter may stand apart from its symbol.

    Raises:
        InputFault: Unknown basis, metal or letter, a thickness missing or zero, or no layer at all.
    """
    start = _BASE.match(text)
    if not start:
        raise _wrong(text, "no basis metal and stroke at the start", 'write it like "Fe/Cu20a/Ni20b/Cr r"')
    basis = _basis(text, start.group(1))
    body = text.rstrip()
    layers: list[Layer] = []
    at = start.end()
    while at < len(body):
        found = _LAYER.match(body, at)
        if not found or found.group(1) not in METALS:
            raise _wrong(
                text,
                f"{shown(body[at:], 20)!r} is no layer",
                f"give a symbol of {', '.join(METALS)}, its thickness in µm and its letter, as Ni20b",
            )
        symbol, written, letter = found.groups()
        layers.append(
            Layer(METALS[symbol], _thickness_um(text, symbol, written), _type(text, symbol, letter))
        )
        gap = _GAP.match(body, found.end())
        at = gap.end() if gap else found.end()
    if not layers or body.endswith("/"):
        raise _wrong(text, "a stroke with no layer after it", "name the layer, or take the stroke away")
    return Finish(basis, tuple(layers))


def _plain(thickness_um: float) -> str:
    """A thickness without an exponent or a trailing zero."""
    written = format(Decimal(repr(thickness_um)), "f")
    return written.rstrip("0").rstrip(".") if "." in written else written


def write_finish(finish: Finish) -> str:
    """The designation of a finish, chromium of the usual thickness without its figure.

    Raises:
        ValueError: A basis, metal or type that has no symbol.
    """
    symbols = {name: symbol for symbol, name in METALS.items()}
    letters = {(row.symbol, row.word): row.letter for row in TYPE_LETTERS}
    bases = {name: symbol for symbol, name in BASES.items()}
    try:
        parts = [bases[finish.basis]]
        for layer in finish.layers:
            symbol = symbols[layer.metal]
            letter = letters[symbol, layer.type] if layer.type is not None else ""
            usual = symbol == "Cr" and layer.thickness_um == DEFAULT_CHROMIUM_UM.value
            figure = "" if usual else _plain(layer.thickness_um)
            gap = " " if symbol == "Cr" and letter else ""
            parts.append(f"{symbol}{figure}{gap}{letter}")
    except KeyError as missing:
        raise ValueError(f"no symbol for {missing.args[0]!r}") from None
    return "/".join(parts)


def finish_json(finish: Finish) -> dict[str, Any]:
    """A finish as a JSON document; whole thicknesses come out without a decimal point."""
    return {
        "basis": finish.basis,
        "layers": [
            {
                "metal": layer.metal,
                "thickness_um": int(layer.thickness_um)
                if layer.thickness_um.is_integer()
                else layer.thickness_um,
                "type": layer.type,
            }
            for layer in finish.layers
        ],
    }
