"""How much solution does a rack carry out?

Owns the drag-out table by how parts hang and drain. Must not know the rinses after it (`rinsing`).
"""

from __future__ import annotations

from dataclasses import dataclass

from runner import units
from runner.faults import fault
from runner.plating import sense
from runner.plating.sources import Known, Source
from runner.text import shown

_GUIDEBOOK = Source(
    "Metal Finishing Guidebook 2012-13, Table II (usually credited to Electroplating Engineering Handbook)",
    Known.READ,
)

_ML_M2_PER_GAL_1000_FT2 = (
    units.read("1 US gal", units.Kind.VOLUME) * 1000 / (units.read("1000 ft²", units.Kind.AREA) / 100)
)
"""40.746 mL/m² in one US gallon per 1000 ft²: definitions of the units alone."""


@dataclass(frozen=True, slots=True)
class DragOut:
    """One row of the table, in the unit in which it is printed.

    Attributes:
        hang: How the part hangs.
        drainage: How well it drains.
        low_gal_1000_ft2: Lower figure, US gallons per 1000 ft².
        high_gal_1000_ft2: Upper figure; the same as the lower where one is printed.
        source: Where it is printed.
    """

    hang: str
    drainage: str
    low_gal_1000_ft2: float
    high_gal_1000_ft2: float
    source: Source = _GUIDEBOOK

    @property
    def low_ml_m2(self) -> float:
        """Lower figure in millilitres a square metre."""
        return self.low_gal_1000_ft2 * _ML_M2_PER_GAL_1000_FT2

    @property
    def high_ml_m2(self) -> float:
        """Upper figure in millilitres a square metre."""
        return self.high_gal_1000_ft2 * _ML_M2_PER_GAL_1000_FT2


DRAG_OUT: tuple[DragOut, ...] = (
    DragOut("vertical", "well drained", 0.4, 0.4),
    DragOut("vertical", "poorly drained", 2.0, 2.0),
    DragOut("vertical", "very poorly drained", 4.0, 4.0),
    DragOut("horizontal", "well drained", 0.8, 0.8),
    DragOut("horizontal", "very poorly drained", 10.0, 10.0),
    DragOut("cup-shaped", "very poorly drained", 8.0, 24.0),
)
"""Cup-shaped parts may carry more than the upper figure."""


def drag_out(hang: str, drainage: str) -> DragOut:
    """The row for a way of hanging and draining.

    Raises:
        InputFault: The table has no such row; the remedy names those it has.
    """
    for row in DRAG_OUT:
        if (row.hang, row.drainage) == (hang, drainage):
            return row
    rows = "; ".join(f"{row.hang}, {row.drainage}" for row in DRAG_OUT)
    raise fault(
        f"no drag-out is printed for {shown(hang, 60)}, {shown(drainage, 60)}", f"give one of: {rows}"
    )


def drag_out_l(area_dm2: float, hang: str, drainage: str) -> float:
    """Litres that an area carries out, by the upper figure of its row.

    Raises:
        ValueError: An area not above zero.
        InputFault: The table has no such row.
    """
    sense.positive(area_dm2=area_dm2)
    return area_dm2 / 100 * drag_out(hang, drainage).high_ml_m2 / 1000
