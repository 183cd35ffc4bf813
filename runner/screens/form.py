"""What a form asks, field by field. Must not know a screen library, nor what becomes of the answers."""

from __future__ import annotations

from typing import NamedTuple


class Asking(NamedTuple):
    """One field of a form.

    Attributes:
        name: Under which its answer is kept.
        asks: What is asked.
        example: What may stand there, shown while nothing does.
    """

    name: str
    asks: str
    example: str
