"""What this process folded of one shop's journal, so that each look costs what was added since.

Each line's signature is checked once. The fold of the lines before is used again only where the very same
bytes stand before the new ones; a journal that was changed, cut or replaced is folded whole, and found out.
Must not touch the disk, and is never written to it.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from runner.record.known_lines import KnownLines, split_after
from runner.record.lines import MOST_LINES, dump, line_hash
from runner.record.shop_fold import ShopFault, fold_lines
from runner.record.torn import Broken

if TYPE_CHECKING:
    from collections.abc import Sequence

    from runner.record.lines import Line
    from runner.record.shop_state import ShopState


@dataclass(frozen=True, slots=True)
class _Folded:
    known: KnownLines
    state: ShopState


class ShopMemory:
    """Of one shop's journal. Safe to use from several threads: it is replaced whole."""

    def __init__(self) -> None:
        self._folded: _Folded | None = None

    @property
    def known(self) -> KnownLines | None:
        """The lines that were folded, or None."""
        folded = self._folded
        return folded.known if folded else None

    def keep(self, known: KnownLines, state: ShopState) -> None:
        """Remember what lines come to."""
        self._folded = _Folded(known, state)

    def fold_lines(self, lines: Sequence[Line], known: KnownLines | None, number: int) -> ShopState:
        """What lines come to, of which the first were known.

        Args:
            lines: All of them.
            known: What was remembered when they were read.
            number: How many of them it gave; 0 where something else stood there.

        Raises:
            ShopFault: The first that does not count.
        """
        folded = self._folded
        if folded is None or folded.known is not known or number == 0:
            return fold_lines(lines)
        return fold_lines(lines[number:], folded.state)

    def fold(self, content: bytes) -> tuple[ShopState, int]:
        """As `shop_fold.fold`: what a journal comes to, and how many bytes of a torn tail stand behind it.

        Raises:
            ShopFault: The first line that does not follow from the one before it, or does not count.
        """
        if content.count(b"\n") > MOST_LINES:
            raise ShopFault(1, f"more than {MOST_LINES} lines, which no shop comes to")
        known = self.known
        try:
            lines, length, number = split_after(content, known)
        except Broken as broken:
            raise ShopFault(broken.seq, broken.reason) from broken
        state = self.fold_lines(lines, known, number)
        digest = hashlib.sha256(memoryview(content)[:length]).digest()
        self.keep(KnownLines(tuple(lines), length, digest, line_hash(dump(lines[-1]))), state)
        return state, len(content) - length
