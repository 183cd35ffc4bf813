"""How long is strong steel baked after plating?

Owns the relief bake against hydrogen embrittlement by tensile strength, and the strength that a hardness
stands for. Must not know the part. A bake does not guarantee freedom from embrittlement, must stay below the
steel's own tempering heat, and the customer's specification goes before this table.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from runner.faults import Fault, InputFault
from runner.plating import sense
from runner.plating.sources import Figure, Known, Source, Window

if TYPE_CHECKING:
    from collections.abc import Iterator

_B850 = Source("ASTM B850-98(2009), Table 1", Known.COPY)


@dataclass(frozen=True, slots=True)
class BakeRow:
    """One row of the table as printed.

    Attributes:
        from_mpa: Lower end of the strength band.
        to_mpa: Upper end.
        from_hrc: About the same in Rockwell C.
        to_hrc: Upper end in Rockwell C.
        hours: Least time at temperature.
    """

    from_mpa: float
    to_mpa: float
    from_hrc: float
    to_hrc: float
    hours: int


BAKE_ROWS: tuple[BakeRow, ...] = (
    BakeRow(1001, 1100, 31, 33, 8),
    BakeRow(1101, 1200, 33, 36, 10),
    BakeRow(1201, 1300, 36, 39, 12),
    BakeRow(1301, 1400, 39, 43, 14),
    BakeRow(1401, 1500, 43, 45, 16),
    BakeRow(1501, 1600, 45, 47, 18),
    BakeRow(1601, 1700, 47, 49, 20),
    BakeRow(1701, 1800, 49, 51, 22),
)

BAKE_TEMPERATURE_C = Window(190.0, 220.0, _B850)
"""For every row of the table."""

BAKE_START_WITHIN_H = Figure(4.0, "h", Source("ASTM B850 and ISO 9588; better within 1 h", Known.MEMORY))
"""From the end of plating to the start of the bake, before any bending or grinding."""

NO_BAKE_BELOW_MPA = Figure(1000.0, "MPa", Source("ASTM B850, class ER-0", Known.MEMORY))
"""Weaker steel needs no relief. Exactly this strength counts as needing the shortest bake."""

BEYOND_TABLE = "beyond the table: ask the customer's metallurgist"


@dataclass(frozen=True, slots=True)
class ReliefBake:
    """The bake that a strength asks for.

    Attributes:
        hours: Least time at temperature; 0 where none is asked for.
        temperature_c: Window of the oven, or None without a bake.
        start_within_h: Longest wait after plating, or None without a bake.
        source: Of the hours.
        note: What else must be known, or empty.
    """

    hours: int
    temperature_c: Window | None
    start_within_h: Figure | None
    source: Source
    note: str = ""


def relief_bake(strength_mpa: float) -> ReliefBake:
    """The bake that steel of this tensile strength asks for after plating.

    A strength between two printed rows goes to the longer bake, and one above the table gets its longest
    with a note.

    Raises:
        ValueError: A strength not above zero.
    """
    sense.positive(strength_mpa=strength_mpa)
    if strength_mpa < NO_BAKE_BELOW_MPA.value:
        return ReliefBake(0, None, None, NO_BAKE_BELOW_MPA.source)
    row = next((row for row in BAKE_ROWS if strength_mpa <= row.to_mpa), BAKE_ROWS[-1])
    note = BEYOND_TABLE if strength_mpa > row.to_mpa else ""
    return ReliefBake(row.hours, BAKE_TEMPERATURE_C, BAKE_START_WITHIN_H, _B850, note)


class OutsideTableFault(InputFault, ValueError):
    """A hardness that the table has no strength for."""


def _hardness_points() -> Iterator[tuple[float, float]]:
    # A hardness on the edge of two rows takes the stronger one, and with it the longer bake.
    for row in BAKE_ROWS:
        yield row.from_hrc, row.from_mpa
    yield BAKE_ROWS[-1].to_hrc, BAKE_ROWS[-1].to_mpa


def strength_of_hardness(hrc: float) -> float:
    """About the tensile strength in MPa of steel of a Rockwell C hardness.

    Linear between the edges of the rows of the bake table, whose hardness column is approximate; a
    hardness where two rows meet takes the stronger.

    Raises:
        OutsideTableFault: A hardness below or above the column (an `InputFault`, so that it can be
            handed to `runner.units.read`).
    """
    points = tuple(_hardness_points())
    low, high = points[0][0], points[-1][0]
    if not (math.isfinite(hrc) and low <= hrc <= high):
        raise OutsideTableFault(
            Fault(
                f"HRC {hrc:g} is outside the table, which runs from HRC {low:g} to HRC {high:g}",
                "give the tensile strength in MPa or ksi from the steel's certificate",
            )
        )
    for (from_hrc, from_mpa), (to_hrc, to_mpa) in pairwise(points):
        if hrc < to_hrc:
            return from_mpa + (to_mpa - from_mpa) * (hrc - from_hrc) / (to_hrc - from_hrc)
    return points[-1][1]
