"""Which rows the walk has to spare, and how all choices of a question come onto a small terminal.

Owns that no choice is left out: its digit works, so its words are to be seen. Before a choice is cut short
the lines that can be left out go, what can hurt goes on under its key, and the clock and the figures go.
"""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.geometry import Size

from runner.screens.walk_parts import height
from runner.text import shown

SMALL_LINES, SMALL_CELLS = 18, 60
"""Below these the rules between the parts go, and the clock is a line of text."""

FIXED_LINES, FIXED_LINES_SMALL = 10, 3
"""Rows that are always there: head, the step, the block, the keys, and where there is room a rule; small, the
block is counted apart. What to do now takes a row or two more."""


def is_small(size: Size) -> bool:
    """Whether the walk is laid out for a small terminal."""
    return size.height < SMALL_LINES or size.width < SMALL_CELLS


def free_rows(size: Size, *, small: bool) -> int:
    """Rows that are not always taken."""
    return size.height - (FIXED_LINES_SMALL if small else FIXED_LINES)


def asked_rows(lines: dict[str, Content]) -> int:
    """Rows of what is asked with all its choices, and one that says what can hurt."""
    return _before(lines) + height(lines["choices"])


def _before(lines: dict[str, Content]) -> int:
    return min(1, height(lines["danger"])) + height(lines["asked"])


def fitted(lines: dict[str, Content], choices: Sequence[str], width: int, room: int) -> dict[str, Content]:
    """The lines, with the choices cut short to a row each, or side by side, where they do not fit.

    Args:
        lines: Below the block.
        choices: Of the question, or none.
        width: Of the screen, in cells.
        room: Rows for all these lines.
    """
    rows = max(1, room - _before(lines))
    if height(lines["choices"]) <= rows:
        return lines
    columns = -(-len(choices) // rows)
    cells = width // columns
    cut = [
        Content.assemble(" ", (f" {number} ", "reverse"), f" {shown(choice, cells - 6):<{cells - 5}}")
        for number, choice in enumerate(choices, start=1)
    ]
    grid = [Content.assemble(*cut[at : at + columns]) for at in range(0, len(cut), columns)]
    return {**lines, "choices": Content("\n").join(grid)}
