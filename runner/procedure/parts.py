"""Parts of routes: steps that several routes share, taken in by name.

Owns the finding of a part, the order of steps after taking them in, and what is wrong with an include. A
step that says ``include = "NAME"`` and nothing else stands for the steps of ``parts/NAME.toml``, which may
include others. The text of every part taken in belongs to the route's own text and hash, so that an approved
route cannot change through a part of it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from runner.faults import Fault, InputFault
from runner.fields import choose, found
from runner.text import shown
from runner.toml_file import load
from runner.validation import Reading

PARTS = "parts"
"""Folder beside the routes."""

INCLUDE = "include"
DEEPEST = 8
"""How far parts may take in parts; more is a mistake, and no plater could follow it."""

_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,63}")

Place = tuple[str | int, ...]
Written = tuple[Reading, Place, Any]
"""A step as written: the file that it stands in, where, and its keys."""


@dataclass(slots=True)
class Gathered:
    """A route's steps with those of its parts, in order.

    Attributes:
        text: Of the route and, behind it, of every part that was taken in.
        steps: Each with the file that it stands in.
        files: The parts that were read, by name.
    """

    text: str
    steps: list[Written] = field(default_factory=list)
    files: dict[str, Reading] = field(default_factory=dict)

    def faults(self) -> list[Fault]:
        """What is wrong with the parts, each fault in its own file."""
        return [fault for reading in self.files.values() for fault in reading.faults]


def gather(reading: Reading, folder: Path | None) -> Gathered:
    """A route's steps, parts taken in.

    Args:
        reading: The route's file; takes the faults of its includes.
        folder: Where parts lie; None for a text that stands in no folder.
    """
    gathered = Gathered(reading.document.text)
    _take(gathered, reading, folder, ())
    return gathered


def _take(gathered: Gathered, reading: Reading, folder: Path | None, chain: tuple[str, ...]) -> None:
    written = reading.document.data.get("step")
    if not isinstance(written, list) or not written:
        if chain:
            reading.add(("step",), "there are no steps", "write each step as a table, [[step]]")
        return
    for number, fields in enumerate(written):
        at: Place = ("step", number)
        if isinstance(fields, dict) and INCLUDE in fields:
            part = _included(gathered, reading, at, fields, folder, chain)
            if part is not None:
                _take(gathered, part, folder, (*chain, fields[INCLUDE]))
        else:
            gathered.steps.append((reading, at, fields))


def _included(
    gathered: Gathered,
    reading: Reading,
    at: Place,
    fields: dict[str, Any],
    folder: Path | None,
    chain: tuple[str, ...],
) -> Reading | None:
    """The part that a step names, or None where that cannot be; then it is noted."""
    name, where = fields[INCLUDE], (*at, INCLUDE)
    if len(fields) > 1:
        reading.add(at, "an include stands alone", "write its other keys as steps of their own")
    elif not isinstance(name, str) or not _NAME.fullmatch(name):
        remedy = "write the name of a file in parts, without .toml, in small letters, digits and hyphens"
        reading.add(where, f"{found(name)} is no name of a part", remedy)
    elif folder is None:
        reading.add(where, "parts lie beside a route's file", "read the route from its file")
    elif name in chain:
        way = " takes in ".join((*chain, name))
        reading.add(where, f"a part takes in itself: {way}", "take one of these includes out")
    elif len(chain) >= DEEPEST:
        reading.add(where, f"parts take in parts over {DEEPEST} deep", "write the steps out")
    else:
        return _part(gathered, reading, where, name, folder)
    return None


def _part(gathered: Gathered, reading: Reading, where: Place, name: str, folder: Path) -> Reading | None:
    """A part's file, read once however often it is taken in."""
    if name in gathered.files:
        return gathered.files[name]
    path = folder / f"{name}.toml"
    if not path.exists():
        known = sorted(file.stem for file in folder.glob("*.toml")) if folder.is_dir() else []
        reading.add(where, f'there is no part "{shown(name, 64)}"', choose(name, known))
        return None
    try:
        part = Reading(load(path))
    except InputFault as wrong:
        reading.faults += wrong.faults
        return None
    gathered.files[name] = part
    gathered.text += f"\n# ---- {PARTS}/{name}.toml ----\n{part.document.text}"
    return part
