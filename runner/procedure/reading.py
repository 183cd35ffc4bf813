"""From a procedure's file to the procedure, or to everything that is wrong with the file.

Owns the order of reading: each step by itself, so that a fault in one hides none in another. Must not judge
whether the work would be good: what is well formed but bad plating is a finding of the rules.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from runner.faults import Fault, InputFault
from runner.fields import OWN_KEY
from runner.procedure.model import Procedure, Source, Step
from runner.procedure.parts import PARTS, Gathered, gather
from runner.procedure.reading_step import check_step
from runner.toml_file import Document, load, parse
from runner.validation import Reading

if TYPE_CHECKING:
    from pathlib import Path

    from runner.shop.model import Shop


def load_procedure(path: Path, shop: Shop) -> Procedure:
    """The procedure in a file, for the tanks of a shop.

    Raises:
        InputFault: Everything that is wrong with the file, by line.
    """
    return _procedure(load(path), shop, path.parent / PARTS)


def parse_procedure(text: str, shop: Shop, file: str = "procedure.toml") -> Procedure:
    """The procedure that a text describes, for the tanks of a shop.

    Raises:
        InputFault: Everything that is wrong with it, by line.
    """
    return _procedure(parse(text, file), shop, None)


def check_file(path: Path, shop: Shop) -> list[Fault]:
    """What is wrong with the form of a procedure's file, in the order of its lines; empty if nothing is."""
    try:
        load_procedure(path, shop)
    except InputFault as wrong:
        return list(wrong.faults)
    return []


def _procedure(document: Document, shop: Shop, parts: Path | None) -> Procedure:
    reading = Reading(document)
    data = document.data
    gathered = gather(reading, parts)
    steps = _steps(reading, gathered, shop)
    if "basis" in data and "assembly" in data:
        reading.add(
            ("assembly",),
            '"basis" stands there too',
            "keep basis for any of them, or assembly for all joined",
        )
    elif not data.get("basis", True) or not data.get("assembly", True):
        key = "assembly" if "assembly" in data else "basis"
        reading.add((key,), "it names no metal", f'write {key} = ["low-carbon steel"]')
    elif "basis" not in data and "assembly" not in data:
        reading.add((), '"basis" is missing', 'write basis = ["low-carbon steel"], or assembly = [...]')
    # A route without parts keeps the bytes of its file; with them, their texts belong to its own.
    raw = document.raw if not gathered.files else gathered.text.encode()
    source = Source(document.file, hashlib.sha256(raw).hexdigest(), gathered.text)
    read = reading.table(Procedure, {**data, "step": steps, OWN_KEY: source})
    reading.faults += gathered.faults()
    return reading.finish(read)


def _steps(reading: Reading, gathered: Gathered, shop: Shop) -> list[Step]:
    if not gathered.steps and not reading.faults:
        reading.add(("step",), "there are no steps", "write each step as a table that begins with [[step]]")
    steps: list[Step] = []
    for number, (place, at, fields) in enumerate(gathered.steps, start=1):
        step = place.table(Step, {**fields, OWN_KEY: number} if isinstance(fields, dict) else fields, at)
        if isinstance(fields, dict):
            check_step(place, at, fields, shop)
        if step is not None:
            steps.append(step)
    return steps
