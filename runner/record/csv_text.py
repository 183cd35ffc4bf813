"""A table for a spreadsheet that no field of it can command.

Owns the text: CSV as RFC 4180 says it, with CRLF. A spreadsheet takes a field that begins with one of a few
signs for a formula, whatever the quotes; such a field gets an apostrophe in front (as the Open Worldwide
Application Security Project advises under "CSV Injection"; from memory). Controls are shown by their codes,
as everywhere: the table may be read on a terminal.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence

from runner.text import shown

_COMMANDING = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
_LONGEST = 32_767  # characters that the common spreadsheets keep of a cell (from memory)


def csv_text(rows: Sequence[Mapping[str, object]], columns: Sequence[str]) -> str:
    """The table, a heading first; None is an empty field."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([_field(row[column]) for column in columns] for row in rows)
    return text.getvalue()


def _field(value: object) -> str:
    if isinstance(value, int | float):
        return str(value)
    text = "" if value is None else str(value)
    commands = text.startswith(("\t", "\r")) or text.lstrip().startswith(_COMMANDING)
    return ("'" if commands else "") + shown(text, _LONGEST)
