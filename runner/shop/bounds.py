"""Between which figures does a quantity of a shop still make sense?

Owns one table of bounds, wide enough for any shop and narrow enough to catch a slipped unit. They are no
limits of good practice: the rules of the trade are. Must not know where a quantity stands.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.plating.sources import Known, Source
from runner.units import Kind

_SENSE = Source("a bound of common sense, to catch a slipped unit or digit", Known.PRACTICE)


@dataclass(frozen=True, slots=True)
class Bound:
    """The figures that one quantity may have.

    Attributes:
        kind: What is measured, or None for a plain number.
        least: In the canonical unit of its kind.
        most: In the same unit.
        zero: Whether nought may stand.
        source: On what the bound rests.
    """

    kind: Kind | None
    least: float
    most: float
    zero: bool = True
    source: Source = _SENSE


_DAY_S = 86_400.0

BOUNDS: dict[str, Bound] = {
    "thickness": Bound(Kind.THICKNESS, 0, 5_000, zero=False),
    "current density": Bound(Kind.DENSITY, 0, 200, zero=False),
    "voltage": Bound(Kind.VOLTAGE, 0, 60, zero=False),
    "current": Bound(Kind.CURRENT, 0, 50_000, zero=False),
    "dwell": Bound(Kind.TIME, 0, 7 * _DAY_S, zero=False),
    "transfer time": Bound(Kind.TIME, 0, _DAY_S, zero=False),
    "temperature": Bound(Kind.TEMPERATURE, -20, 600),
    "volume": Bound(Kind.VOLUME, 0, 100_000, zero=False),
    "water flow": Bound(Kind.FLOW, 0, 100_000, zero=False),
    "concentration": Bound(Kind.CONCENTRATION, 0, 2_000),
    "area": Bound(Kind.AREA, 0, 10_000),
    "meter uncertainty": Bound(Kind.SHARE, 0, 0.5),
    "overstay": Bound(Kind.SHARE, 0, 10),
    "strength": Bound(Kind.STRENGTH, 100, 3_000),
    "wheel diameter": Bound(Kind.LENGTH, 5, 2_000),
    "wheel speed": Bound(Kind.SPEED, 0, 120, zero=False),
    "pH": Bound(None, -1, 15),
    "efficiency": Bound(None, 0, 1, zero=False),
    "thickness ratio": Bound(None, 0, 1, zero=False),
    "rinse stages": Bound(None, 1, 8),
    "pieces on a rack": Bound(None, 1, 10_000),
    "years of keeping": Bound(None, 1, 1_000),
    "check limit": Bound(None, -1e6, 1e6),
}
"""By the name that a fault calls the quantity."""
