"""Is this a hand, or a reader of labels that types a batch's number and enter?

Owns that decision, from characters and the times at which they came, which are handed in. A reader types
faster than any hand; what it typed must never act as keys one by one, nor a hand's key wait long for it.
Must not know a screen library, nor what batches there are.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

GAP_MS = 25
"""Longest time between two characters of a reader, and so the longest wait of a hand's key. A reader on USB
is set to 20 ms at most; a hand's two keys are 60 ms apart or more (common practice, and from memory)."""

HANDS = 2
"""Characters that may come as close as that from a hand that slips; more are a reader's."""

ENTER = "\r"

NUMBER = re.compile(r"(practice-)?[0-9]{4}-[0-9]{4,12}", re.IGNORECASE)
"""What stands on a batch's label."""

LONGEST = 64
"""Characters after which a burst is no label of ours, whatever follows."""

Said = Literal["wait", "number", "hand", "other"]

Pressed = tuple[str, int]
"""A character, enter as `ENTER`, and when it came, in milliseconds."""


def said_of(pressed: Sequence[Pressed], now_ms: int) -> Said:
    """What these characters are.

    Args:
        pressed: At least one, in order.
        now_ms: No more has come until then.

    Returns:
        ``wait`` while more may come; ``number`` for a whole label; ``hand`` where they are keys, each to be
        handed on; ``other`` for what a reader typed that is no batch's number: none of it may act.
    """
    text = "".join(character for character, _ in pressed)
    if not together(pressed):
        return "hand"
    if text.endswith(ENTER):
        if NUMBER.fullmatch(text.removesuffix(ENTER)):
            return "number"
        return "hand" if len(text) <= HANDS else "other"
    if now_ms - pressed[-1][1] <= GAP_MS and len(text) < LONGEST:
        return "wait"
    return "hand" if len(text) <= HANDS else "other"


def together(pressed: Sequence[Pressed]) -> bool:
    """Whether each character came as fast after the one before it as a reader types."""
    return all(0 <= later - earlier <= GAP_MS for (_, earlier), (_, later) in pairwise(pressed))
