"""What was added to a sealed record, as its files say it, to be read beside the record.

Owns the reading. Whether an addendum proves is asked in `runner.record.verify_addenda`.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

from runner.record import durable
from runner.record.verify_addenda import LONGEST, file_of

_MOST = 1000


@dataclass(frozen=True, slots=True)
class Added:
    """One addendum.

    Attributes:
        at: RFC 3339.
        name: Printed name of who signed it.
        meaning: Of the signature.
        problem: Why it cannot be read, or empty.
    """

    number: int
    text: str
    at: str
    name: str
    role: str
    meaning: str
    problem: str = ""


def addenda_of(folder: Path) -> tuple[Added, ...]:
    """Every addendum that lies in a batch's folder, in order; one that cannot be read says so."""
    found = []
    for number in range(1, _MOST):
        path = file_of(folder, number)
        if not path.is_file():
            break
        found.append(_read(path, number))
    return tuple(found)


def _read(path: Path, number: int) -> Added:
    try:
        told = tomllib.loads(durable.read_whole(path, LONGEST).decode())
        by = told["by"]
        text = [str(part) for part in (told["text"], told["at"], by["name"], by["role"], told["meaning"])]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return Added(number, "", "", "", "", "", "it cannot be read")
    return Added(number, *text)
