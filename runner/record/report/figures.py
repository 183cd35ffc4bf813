"""Figures as they stand on paper: in SI, with US customary beside where the shop shows that.

Owns their spelling. Must not compute any.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.batch.moment import Moment, rfc3339
from runner.faults import InputFault
from runner.units import Kind, System, read, write, write_time

NONE = "–"
"""Where nothing applies."""

_DIGITS_OF_U = 2
"""An uncertainty is told to two significant digits at most (JCGM 100, 7.2.6, from memory)."""

_BESIDE = (Kind.TEMPERATURE, Kind.THICKNESS, Kind.DENSITY, Kind.AREA, Kind.LENGTH, Kind.CONCENTRATION)
"""Kinds of what checks ask for that have a customary unit of their own."""


@dataclass(frozen=True, slots=True)
class Figures:
    """Writes figures in a shop's way.

    Attributes:
        system: ``US`` puts US customary beside SI.
    """

    system: System

    def of(self, value: float | None, kind: Kind, digits: int = 3) -> str:
        """A quantity to significant figures, or a dash where there is none."""
        if value is None:
            return NONE
        plain = write(value, kind, digits=digits)
        if self.system == "SI":
            return plain
        other = write(value, kind, "US", digits)
        return plain if other == plain else f"{plain} ({other})"

    def span(self, low: float | None, high: float | None, kind: Kind) -> str:
        """A window, either end of which may be open."""
        if low is not None and high is not None:
            return f"{self.of(low, kind)} to {self.of(high, kind)}"
        if low is not None:
            return f"from {self.of(low, kind)}"
        return NONE if high is None else f"up to {self.of(high, kind)}"

    def thickness(self, value_um: float | None, expanded_u_um: float | None) -> str:
        """A thickness with its expanded uncertainty, where one is known."""
        said = self.of(value_um, Kind.THICKNESS)
        if value_um is None or expanded_u_um is None:
            return said
        return f"{said} ± {self.of(expanded_u_um, Kind.THICKNESS, _DIGITS_OF_U)}"

    def in_unit(self, value: float, unit: str | None) -> str:
        """A check's figure in the unit that it was asked in, as it was entered."""
        plain = f"{value:.15g} {unit}" if unit else f"{value:.15g}"
        if self.system == "SI" or unit is None:
            return plain
        for kind in _BESIDE:
            try:
                figure = read(f"{value!r} {unit}", kind)
            except InputFault:
                continue
            spelt = {write(figure, kind, "US"), write(figure, kind)}
            others = [one for one in sorted(spelt) if not one.endswith(f" {unit}")]
            return f"{plain} ({others[0]})" if len(others) == 1 else plain
        return plain


def seconds(value: float | None) -> str:
    """A duration, or a dash where there is none."""
    return NONE if value is None else write_time(value)


def when(moment: Moment | None) -> str:
    """A moment in UTC to the second; the milliseconds stand in the record."""
    return NONE if moment is None else rfc3339(moment.at_ms)[:19].replace("T", " ")


def clock(moment: Moment | None) -> str:
    """Its time of day alone."""
    return NONE if moment is None else rfc3339(moment.at_ms)[11:19]
