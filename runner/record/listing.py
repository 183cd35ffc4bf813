"""Which records lie in a folder of logs?

Owns a quick list for people: it reads the head of each record and proves nothing. Rehearsals are not
production and are never in it.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from runner.record import durable
from runner.record.layout import RECORD
from runner.record.verify_batch import LONGEST_RECORD

_STEPS = b"\n[[step]]"


@dataclass(frozen=True, slots=True)
class Listed:
    """A record in the list, by what it says of itself."""

    batch: str
    part: str
    customer: str
    procedure: str
    outcome: str
    ended: str
    by: str


def listed(logs: Path) -> tuple[Listed, ...]:
    """Every record of production, the newest name first; what cannot be read says so.

    Raises:
        OSError: The folder itself cannot be read.
    """
    if not logs.is_dir():
        return ()
    folders = [entry for entry in logs.iterdir() if (entry / RECORD).is_file() and not entry.is_symlink()]
    return tuple(_listed(folder) for folder in sorted(folders, key=lambda entry: entry.name, reverse=True))


def _listed(folder: Path) -> Listed:
    try:
        raw = durable.read_whole(folder / RECORD, LONGEST_RECORD)
        head = tomllib.loads(raw.partition(_STEPS)[0].decode("utf-8"))
    except (OSError, ValueError, RecursionError):
        return Listed(folder.name, "", "", "", "its record cannot be read", "", "")
    parts, ended, procedure = (_table(head, name) for name in ("parts", "ended", "procedure"))
    return Listed(
        batch=folder.name,
        part=_text(parts, "part"),
        customer=_text(parts, "customer"),
        procedure=_text(procedure, "title"),
        outcome=_text(head, "outcome"),
        ended=_text(ended, "at"),
        by=_text(ended, "name"),
    )


def _table(table: dict[str, Any], name: str) -> dict[str, Any]:
    inner = table.get(name)
    return inner if isinstance(inner, dict) else {}


def _text(table: dict[str, Any], name: str) -> str:
    value = table.get(name)
    return value if isinstance(value, str) else ""
