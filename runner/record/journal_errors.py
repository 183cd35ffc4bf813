"""Why can a journal not be written?

Owns the failures of a journal's writer, each with what to do. Must not know how it writes.
"""

from __future__ import annotations

import errno
from typing import TYPE_CHECKING

from runner.faults import Fault

if TYPE_CHECKING:
    from pathlib import Path

_NO_ROOM = "make room on the disk, then try again"
_NO_RIGHT = "give this user the right to write here, then try again"
_REMEDIES = {
    errno.ENOSPC: _NO_ROOM,
    errno.EDQUOT: _NO_ROOM,
    errno.ENOENT: "put the folder or disk back in its place, then try again",
    errno.EROFS: _NO_RIGHT,
    errno.EACCES: _NO_RIGHT,
    errno.EPERM: _NO_RIGHT,
}


class JournalError(Exception):
    """A journal cannot be written.

    Attributes:
        fault: What is wrong, where, and what to do.
    """

    def __init__(self, path: Path, message: str, remedy: str, line: int | None = None) -> None:
        self.fault = Fault(message, remedy, str(path), line)
        super().__init__(str(self.fault))


class NotWritten(JournalError):
    """The disk did not take it. Nothing of it counts; it can be tried again."""


class JournalTampered(JournalError):
    """The file is not what this program wrote. Nothing may be added until somebody has looked."""

    def __init__(self, path: Path, message: str, line: int | None = None) -> None:
        super().__init__(
            path, message, "keep the file as it is, look for the right one, call the owner", line
        )


class JournalExists(JournalError):
    """A new journal was to be made where one stands."""


class JournalMissing(JournalError):
    """No journal stands there."""


def not_written(path: Path, error: OSError) -> NotWritten:
    """The failure of a call to the system, in words for the person at the tank."""
    remedy = _REMEDIES.get(error.errno or 0, "look after the disk, then try again")
    return NotWritten(path, f"nothing was written: {error.strerror or error}", remedy)
