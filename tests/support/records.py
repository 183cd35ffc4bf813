"""A sealed record read by a TOML reader that knows nothing of ours."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any


def record_of(folder: Path) -> dict[str, Any]:
    """All that the record in a batch's folder says."""
    return tomllib.loads((folder / "record.toml").read_text(encoding="utf-8"))


def day(at: str) -> str:
    """A time of the record as the report writes it: RFC 3339 allows a blank for the T, seconds suffice."""
    return at[:19].replace("T", " ")
