"""Reading a batch's journal, bounded, from a plain file."""

from __future__ import annotations

from pathlib import Path

from runner.record import durable
from runner.record.layout import JOURNAL
from runner.record.lines import LONGEST_JOURNAL


def read_journal(folder: Path) -> bytes:
    """The bytes of a batch's journal.

    Raises:
        OSError: It cannot be read, is no plain file, or is larger than any batch's.
    """
    return durable.read_whole(folder / JOURNAL, LONGEST_JOURNAL)
