"""Which solutions does the table know?

Owns the whole table, gathered from its families, and the look-up by name. Must not hold a row: those stand
in ``solutions_*.py``.
"""

from __future__ import annotations

from difflib import get_close_matches

from runner.faults import fault
from runner.plating.solution_row import Solution
from runner.plating.solutions_acids import ACID_SOLUTIONS
from runner.plating.solutions_chromium import CHROMIUM_SOLUTIONS
from runner.plating.solutions_cleaners import CLEANER_SOLUTIONS
from runner.plating.solutions_copper import COPPER_SOLUTIONS
from runner.plating.solutions_nickel import NICKEL_SOLUTIONS
from runner.plating.solutions_others import OTHER_SOLUTIONS
from runner.plating.solutions_rinses import RINSE_SOLUTIONS
from runner.plating.solutions_strips import STRIP_SOLUTIONS
from runner.plating.solutions_zinc import ZINC_SOLUTIONS
from runner.text import shown

__all__ = ["SOLUTIONS", "Solution", "solution"]

SOLUTIONS: dict[str, Solution] = {
    row.name: row
    for row in (
        *CLEANER_SOLUTIONS,
        *ACID_SOLUTIONS,
        *NICKEL_SOLUTIONS,
        *COPPER_SOLUTIONS,
        *CHROMIUM_SOLUTIONS,
        *ZINC_SOLUTIONS,
        *STRIP_SOLUTIONS,
        *RINSE_SOLUTIONS,
        *OTHER_SOLUTIONS,
    )
}
"""Every row by name, in the order in which work meets them."""


def solution(name: str) -> Solution:
    """The row of a solution.

    Raises:
        InputFault: A name that the table does not have; the remedy gives those close to it, or all.
    """
    if name in SOLUTIONS:
        return SOLUTIONS[name]
    # A name from a file may be as long as it likes; likeness is only looked for in its beginning.
    wanted = name[:60].strip().lower()
    close = get_close_matches(wanted, SOLUTIONS) or [
        known for known in SOLUTIONS if wanted and wanted in known
    ]
    names = f"did you mean {' or '.join(close)}?" if close else f"give one of {', '.join(SOLUTIONS)}"
    raise fault(f"{shown(name, 60)!r} is no solution of the table", names)
