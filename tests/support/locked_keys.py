"""A key behind a PIN on the disk: what opens it, what does not, and its file."""

from __future__ import annotations

from pathlib import Path

from runner.record.keys import Keys

PIN = "271828"
WRONG = "314159"


def file_of(keys: Keys) -> Path:
    """The file of the only key."""
    (file,) = keys.folder.glob("*.key")
    return file
