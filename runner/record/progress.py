"""How far a long piece of work is, told to whoever wants to draw it."""

from __future__ import annotations

from collections.abc import Callable

Told = Callable[[int, int], None]
"""Called with how many are done, and of how many; the first call comes before any is done."""


def untold(done: int, of: int) -> None:
    """For work that nobody watches."""
    del done, of
