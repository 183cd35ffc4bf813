"""From ``shop.toml`` to the shop, or to everything that is wrong with the file.

Owns what must hold between the tables of the file: that a name stands for something. Must not know where
the file lies (`runner.shop.finding` does).
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, TypeVar

from runner.fields import OWN_KEY, Table
from runner.plating.solutions import SOLUTIONS
from runner.shop.finding import shop_file
from runner.shop.key_map import read_keys
from runner.shop.model import Limits, Rack, Rectifier, Shop, Tank
from runner.toml_file import Document, load, parse
from runner.validation import Reading

if TYPE_CHECKING:
    from pathlib import Path

_DEVICE = (re.compile(r"[A-Za-z0-9-]{1,16}"), "use letters, digits and hyphens, 16 at most")
_NAMES: dict[str, tuple[re.Pattern[str], str]] = {
    "rectifier": _DEVICE,
    "tank": (
        re.compile(r"[a-z0-9][a-z0-9-]{0,31}"),
        "use small letters, digits and hyphens, 32 at most, the first no hyphen",
    ),
    "rack": _DEVICE,
}
"""What a name in each section looks like, and how to say so."""

RINSES = frozenset({"rinse", "hot-rinse"})
"""Solutions that are water to rinse in."""

T = TypeVar("T", bound=Table)


def load_shop(folder: Path) -> Shop:
    """The shop of a folder that holds ``procedures/shop.toml``.

    Raises:
        InputFault: Everything that is wrong with the file, by line.
    """
    return _shop(load(shop_file(folder)))


def parse_shop(text: str, file: str = "shop.toml") -> Shop:
    """The shop that a text describes.

    Raises:
        InputFault: Everything that is wrong with it, by line.
    """
    return _shop(parse(text, file))


def _shop(document: Document) -> Shop:
    reading = Reading(document)
    data = document.data
    rectifiers, tanks, racks = (reading.tables(key) for key in ("rectifier", "tank", "rack"))
    sections = {
        "rectifier": _read(reading, "rectifier", rectifiers, Rectifier),
        "tank": _read(reading, "tank", tanks, Tank),
        "rack": _read(reading, "rack", racks, Rack),
    }
    limits = reading.table(Limits, data.get("limits", {}), ("limits",)) or Limits()
    keys = read_keys(data.get("keys", {}), reading.add)
    for name, fields in tanks.items():
        if isinstance(fields, dict):
            _check_names(reading, name, fields, rectifiers, tanks)
    return reading.finish(reading.table(Shop, {**data, **sections, "limits": limits, "keys": keys}))


def _read(reading: Reading, key: str, section: dict[str, Any], kind: type[T]) -> dict[str, T]:
    """The tables of one section by name, each read by itself, so that none hides another's faults."""
    pattern, rule = _NAMES[key]
    read: dict[str, T] = {}
    for name, fields in section.items():
        if not pattern.fullmatch(name):
            reading.add((key, name), f"this is no name for a {key}", rule)
        given = {"title": name, **fields, OWN_KEY: name} if isinstance(fields, dict) else fields
        if (table := reading.table(kind, given, (key, name))) is not None:
            read[name] = table
    return read


def _check_names(
    reading: Reading,
    name: str,
    fields: dict[str, Any],
    rectifiers: dict[str, Any],
    tanks: dict[str, Any],
) -> None:
    """What a tank names must be there: its solution, its rectifier, its neighbours."""
    at = ("tank", name)
    solution = fields.get("solution")
    if isinstance(solution, str):
        if solution not in SOLUTIONS:
            reading.unknown((*at, "solution"), "solution", solution, SOLUTIONS)
        elif "rinse" in fields and solution not in RINSES:
            reading.add(
                (*at, "rinse"),
                f'"{solution}" is no rinse',
                "take the rinse table out, or give the tank the solution of a rinse",
            )
    rectifier = fields.get("rectifier")
    if isinstance(rectifier, str) and rectifier not in rectifiers:
        reading.unknown((*at, "rectifier"), "rectifier", rectifier, rectifiers)
    beside = fields.get("beside")
    for place, other in enumerate(beside if isinstance(beside, list) else ()):
        if other == name:
            reading.add((*at, "beside", place), "a tank does not stand beside itself", "take it out")
        elif isinstance(other, str) and other not in tanks:
            reading.unknown((*at, "beside", place), "tank", other, tanks)
