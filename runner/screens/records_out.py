"""Writing a list of records to a file, as a table for a spreadsheet.

Owns where it may go: to a new file, and never among the records themselves. Must not know a screen library.
"""

from __future__ import annotations

from pathlib import Path

from runner.record import durable
from runner.record.csv_text import csv_text
from runner.record.floor import Floor
from runner.record.index import search
from runner.record.index_query import Listed, Wanted
from runner.text import shown


def write_csv(floor: Floor, name: str, wanted: Wanted | None, these: tuple[Listed, ...]) -> str:
    """Write the batches wanted, or these where nothing is wanted; returns what is to be said.

    Args:
        floor: The shop's.
        name: Of the file, as it was typed.
        wanted: Which batches; all of them, not only those on the screen.
        these: Written where `wanted` is None.
    """
    path = Path(name).expanduser()
    try:
        if path.resolve().is_relative_to(floor.logs.resolve()):
            return "nothing is written among the records: name a file elsewhere"
        batches = these if wanted is None else search(floor.logs, wanted).batches
        table = csv_text([one._asdict() for one in batches], Listed._fields)
        durable.write_new(path, table.encode("utf-8"))
    except FileExistsError:
        return f"{shown(path, 60)} is there already: give another name"
    except (OSError, RuntimeError, ValueError) as error:
        return f"not written: {shown(error, 120)}"
    return f"{len(batches)} batches written to {shown(path.absolute(), 200)}"
