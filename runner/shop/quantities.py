"""Quantities and windows of files, read into plain figures and held to their bounds.

Owns the kinds of figure that models name in their fields: text with a unit in, a float in the canonical
unit out. Must not know which model uses them.
"""

from __future__ import annotations

import math
from contextlib import suppress
from typing import Annotated, Self

from pydantic import Field, PlainValidator, model_validator

from runner import units
from runner.faults import InputFault
from runner.fields import Table, found, refusal
from runner.plating.sources import Known, Source, Window
from runner.shop.bounds import BOUNDS
from runner.units import Hardness, Kind

SHOP = Source("shop.toml", Known.SHOP)
"""The source of every figure that a shop states about itself."""


def read_quantity(name: str, value: object, hardness: Hardness | None = None) -> float:
    """A quantity in the canonical unit of its kind, within the bounds of a row of `BOUNDS`; or a refusal."""
    bound = BOUNDS[name]
    if bound.kind is None:
        return _within(name, _number(name, value))
    try:
        figure = units.read(value, bound.kind, hardness)
    except InputFault as wrong:
        raise refusal(wrong.faults[0].message, wrong.faults[0].remedy) from wrong
    return _within(name, figure)


def _number(name: str, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise refusal(
            f"{found(value)} stands where a number is needed", "write a number, without quotes or unit"
        )
    try:
        figure = float(value)
    except OverflowError:
        figure = math.inf
    if not math.isfinite(figure):
        raise refusal(f"{found(value)} is no finite {name}", "write a figure")
    return figure


def _within(name: str, figure: float) -> float:
    bound = BOUNDS[name]
    if not bound.least <= figure <= bound.most or (figure == 0 and not bound.zero):
        least, most = (_written(limit, bound.kind) for limit in (bound.least, bound.most))
        above = "" if bound.zero else "above "
        raise refusal(
            f"{_written(figure, bound.kind)} is out of bounds ({name}: {above}{least} to {most})",
            "check the figure" if bound.kind is None else "check the figure and its unit",
        )
    return figure


def _written(figure: float, kind: Kind | None) -> str:
    return f"{figure:g}" if kind is None else units.write(figure, kind)


def read_in_unit(name: str, value: object, unit: str | None) -> float:
    """A figure in a unit that its reader chose: a plain number, or text in any unit of the same kind.

    Args:
        name: A row of `BOUNDS` for a plain number.
        value: Such as ``60`` or ``"140 °F"``.
        unit: Such as ``"°C"``, or one that stands for no quantity here, as ``"pH"``.
    """
    if not isinstance(value, str):
        return _within(name, _number(name, value))
    kinds = [kind for kind in Kind if unit and _measures(unit, kind)]
    for kind in kinds:
        with suppress(InputFault):
            # Rounded, so that a limit written in the very unit of the reading is met by the same figure.
            return _within(name, round(units.to_unit(units.read(value, kind), kind, str(unit)), 9))
    raise refusal(
        f"{found(value)} is no figure in the unit of this check",
        f'write a plain number, or text with its unit, as "1 {unit}"' if kinds else "write a plain number",
    )


def _measures(unit: str, kind: Kind) -> bool:
    try:
        units.to_unit(0, kind, unit)
    except KeyError:
        return False
    return True


def quantity(name: str, hardness: Hardness | None = None) -> PlainValidator:
    """Text with a unit as a float in the canonical unit; a plain number where the bound has no kind.

    Args:
        name: A row of `BOUNDS`.
        hardness: For strengths: what turns a hardness into MPa.
    """
    return PlainValidator(lambda value: read_quantity(name, value, hardness))


def whole(name: str) -> PlainValidator:
    """A whole number within the bounds of a row of `BOUNDS`."""

    def check(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise refusal(
                f"{found(value)} stands where a whole number is needed", "write it without quotes or unit"
            )
        return int(_within(name, _number(name, value)))

    return PlainValidator(check)


Temperature = Annotated[float, quantity("temperature")]
Density = Annotated[float, quantity("current density")]
Acidity = Annotated[float, quantity("pH")]


class Band(Table):
    """``{ min = …, max = … }``: both ends, in the unit that the field holding it is named with."""

    low: float = Field(alias="min")
    high: float = Field(alias="max")

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.low >= self.high:
            raise refusal("min is not below max", "write the lower end as min and the upper end as max")
        return self

    def window(self) -> Window:
        """The same band as the trade's tables hold theirs, the shop being its source."""
        return Window(self.low, self.high, SHOP)


class TemperatureBand(Band):
    """In °C."""

    low: Temperature = Field(alias="min", examples=['"52 °C"'])
    high: Temperature = Field(alias="max", examples=['"60 °C"'])


class DensityBand(Band):
    """In A/dm²."""

    low: Density = Field(alias="min", examples=['"2 A/dm²"'])
    high: Density = Field(alias="max", examples=['"6 A/dm²"'])


class AcidityBand(Band):
    """In units of pH."""

    low: Acidity = Field(alias="min", examples=["3.8"])
    high: Acidity = Field(alias="max", examples=["4.4"])
