"""What was read of a journal once, so that only what was added since is read again.

Owns the condition: the same bytes must stand before what is new, by their SHA-256. Anything else, and the
whole is read as if nothing were known. Must not touch the disk, nor keep a line: a shop's journal grows for
years in the memory of a terminal that runs for weeks.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, NamedTuple

from runner.record.lines import line_hash
from runner.record.torn import split

if TYPE_CHECKING:
    from runner.record.lines import Line


class KnownLines(NamedTuple):
    """Whole lines of a journal, as this process read or wrote them: how many, and which bytes.

    Attributes:
        number: How many lines.
        length: How many bytes they take.
        digest: SHA-256 of those.
        last_hash: SHA-256 of the last line.
    """

    number: int
    length: int
    digest: bytes
    last_hash: str

    def begins(self, content: bytes) -> bool:
        """Whether a journal begins with these lines, to the byte."""
        known = memoryview(content)[: self.length]
        return len(known) == self.length and hashlib.sha256(known).digest() == self.digest


class Split(NamedTuple):
    """A journal's whole lines, as far as they had to be read.

    Attributes:
        already_known: How many lines stand before those that were read.
        added: The lines behind them.
        length: How many bytes all of them take.
        last: The bytes of the last one, known or added.
    """

    already_known: int
    added: list[Line]
    length: int
    last: bytes

    def known(self, content: bytes) -> KnownLines:
        """What is to be known of them, given the journal that they were split from."""
        digest = hashlib.sha256(memoryview(content)[: self.length]).digest()
        number = self.already_known + len(self.added)
        return KnownLines(number, self.length, digest, line_hash(self.last))


def split_after(content: bytes, known: KnownLines | None) -> Split:
    """The whole lines of a journal behind those that are known; all of them where other bytes stand there.

    Raises:
        Broken: As `split`.
    """
    if known is None or not known.begins(content):
        added, length = split(content)
        before = 0
    else:
        added, more = split(content[known.length :], known.number, known.last_hash)
        before, length = known.number, known.length + more
    # A line holds no newline but the one that ends it.
    last = content[content.rfind(b"\n", 0, length - 1) + 1 : length]
    return Split(before, added, length, last)
