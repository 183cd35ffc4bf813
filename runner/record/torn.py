"""What becomes of bytes that were never a line?

Owns the splitting of a journal into whole lines and a torn tail, and what is kept of the tail. Must not
touch the disk.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from runner.record import sshsig
from runner.record.lines import GENESIS, Line, LineFault, line_hash, parse, raw_lines

if TYPE_CHECKING:
    from hashlib import _Hash

KIND = "tail-set-aside"
"""The kind of the event that keeps a torn tail."""

KEPT_BYTES = 64 * 1024
"""Most bytes of a torn tail that are kept; of a longer one its length and SHA-256 stand for the rest."""


class Broken(Exception):
    """A journal whose lines do not follow from each other.

    Attributes:
        seq: The line, from 1.
        reason: What is wrong with it.
    """

    def __init__(self, seq: int, reason: str) -> None:
        super().__init__(f"line {seq}: {reason}")
        self.seq = seq
        self.reason = reason


@dataclass
class Torn:
    """Bytes that stood after the last whole line, and nobody was told were kept.

    Attributes:
        reason: How they came there, for whoever is told of it.
        length: How many there were.
        head: The first of them, `KEPT_BYTES` at most.
    """

    reason: str
    length: int = 0
    head: bytes = b""
    _hash: _Hash = field(default_factory=hashlib.sha256, repr=False, compare=False)

    def add(self, data: bytes) -> None:
        """More of them: a second write failed before the first tail could be kept."""
        self.length += len(data)
        self.head += data[: KEPT_BYTES - len(self.head)]
        self._hash.update(data)

    def data(self) -> dict[str, Any]:
        """The data of the event that keeps them."""
        return {
            "bytes": self.length,
            "sha256": self._hash.hexdigest(),
            "base64": sshsig.encode64(self.head),
        }


def split(content: bytes, before: int = 0, prev: str = GENESIS) -> tuple[list[Line], int]:
    """The whole lines of a journal and how many bytes they take; what follows is a torn tail.

    A torn tail is what stands after the last newline, or else a last line that does not parse.

    Args:
        content: A journal, or what stands in it behind lines that are known.
        before: How many lines are known.
        prev: SHA-256 of the last of those.

    Raises:
        Broken: An earlier line does not parse, or a line does not follow from the one before it. No torn
            write leaves that: something changed what was written.
    """
    raws, rest = raw_lines(content)
    lines: list[Line] = []
    length = 0
    for seq, raw in enumerate(raws, start=before + 1):
        try:
            line = parse(raw)
        except LineFault as fault:
            if seq > 1 and seq == before + len(raws) and not rest:
                break
            raise Broken(seq, fault.reason) from fault
        if line.seq != seq:
            raise Broken(seq, f"it says that it is line {line.seq}")
        if line.prev != prev:
            raise Broken(seq, "it does not follow from the line before it")
        lines.append(line)
        length += len(raw)
        prev = line_hash(raw)
    if not lines and not before:
        raise Broken(1, "the file holds no whole line")
    return lines, length
