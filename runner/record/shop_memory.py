"""What this process folded of one shop's journal, so that each look costs what was added since.

Each line's signature is checked once. The fold of the lines before is used again only where the very same
bytes stand before the new ones; a journal that was changed, cut or replaced is folded whole, and found out.
Must not touch the disk, and is never written to it.
"""

from __future__ import annotations

from typing import NamedTuple

from runner.record.known_lines import KnownLines, split_after
from runner.record.lines import MOST_LINES
from runner.record.shop_fold import ShopFault, fold_lines
from runner.record.shop_state import ShopState
from runner.record.torn import Broken


class FoldedShop(NamedTuple):
    """The first lines of a shop's journal, and what they come to.

    Attributes:
        known: Which bytes.
        state: Their fold.
    """

    known: KnownLines
    state: ShopState


class ShopMemory:
    """Of one shop's journal. Safe to use from several threads: it is replaced whole.

    Attributes:
        folded: What was folded last, or None.
    """

    def __init__(self) -> None:
        self.folded: FoldedShop | None = None

    def keep(self, known: KnownLines, state: ShopState) -> None:
        """Remember what lines come to. The state must be nobody's yet: `_lean` takes from it."""
        _lean(state)
        self.folded = FoldedShop(known, state)

    def fold(self, content: bytes) -> tuple[ShopState, int]:
        """As `shop_fold.fold`: what a journal comes to, and how many bytes of a torn tail stand behind it.

        Raises:
            ShopFault: The first line that does not follow from the one before it, or does not count.
        """
        if content.count(b"\n") > MOST_LINES:
            raise ShopFault(1, f"more than {MOST_LINES} lines, which no shop comes to")
        folded = self.folded
        try:
            read = split_after(content, folded.known if folded else None)
        except Broken as broken:
            raise ShopFault(broken.seq, broken.reason) from broken
        state = fold_lines(read.added, folded.state if folded and read.already_known else None)
        self.keep(read.known(content), state)
        return state, len(content) - read.length


def _lean(state: ShopState) -> None:
    """Forget of batches that ended which of their lines the shop saw: no later line asks; proofs read anew.

    With twelve racks about it is two thirds of what a batch takes for as long as a terminal runs.
    """
    for name, batch in state.batches.items():
        if batch.seen and batch.closed is not None:
            state.batches[name] = batch._replace(seen=())
