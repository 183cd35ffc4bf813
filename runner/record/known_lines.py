"""What was read of a journal once, so that only what was added since is read again.

Owns the condition: the same bytes must stand before what is new, by their SHA-256. Anything else, and the
whole is read as if nothing were known. Must not touch the disk.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from runner.record.torn import split

if TYPE_CHECKING:
    from runner.record.lines import Line


@dataclass(frozen=True, slots=True)
class KnownLines:
    """Whole lines of a journal, as this process read or wrote them.

    Attributes:
        lines: From the first.
        length: How many bytes they take.
        digest: SHA-256 of those.
        last_hash: SHA-256 of the last line.
    """

    lines: tuple[Line, ...]
    length: int
    digest: bytes
    last_hash: str

    def begins(self, content: bytes) -> bool:
        """Whether a journal begins with these lines, to the byte."""
        known = memoryview(content)[: self.length]
        return len(known) == self.length and hashlib.sha256(known).digest() == self.digest


def split_after(content: bytes, known: KnownLines | None) -> tuple[list[Line], int, int]:
    """The whole lines of a journal, how many bytes they take, and how many of them were known.

    Raises:
        Broken: As `split`.
    """
    if known is None or not known.begins(content):
        return *split(content), 0
    added, length = split(content[known.length :], len(known.lines), known.last_hash)
    return [*known.lines, *added], known.length + length, len(known.lines)
