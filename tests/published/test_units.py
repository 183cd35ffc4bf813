"""Every unit that files and options may use, against a general units library (factors: NIST SP 811)."""

from __future__ import annotations

import pint
import pytest

from runner import units
from runner.units import Kind

UNITS = (
    (Kind.THICKNESS, "µm", "micrometer", "micrometer"),
    (Kind.THICKNESS, "um", "micrometer", "micrometer"),
    (Kind.THICKNESS, "mm", "millimeter", "micrometer"),
    (Kind.THICKNESS, "mil", "thou", "micrometer"),
    (Kind.THICKNESS, "in", "inch", "micrometer"),
    (Kind.DENSITY, "A/dm²", "ampere / decimeter ** 2", "ampere / decimeter ** 2"),
    (Kind.DENSITY, "A/m2", "ampere / meter ** 2", "ampere / decimeter ** 2"),
    (Kind.DENSITY, "A/ft²", "ampere / foot ** 2", "ampere / decimeter ** 2"),
    (Kind.DENSITY, "ASF", "ampere / foot ** 2", "ampere / decimeter ** 2"),
    (Kind.AREA, "dm2", "decimeter ** 2", "decimeter ** 2"),
    (Kind.AREA, "cm2", "centimeter ** 2", "decimeter ** 2"),
    (Kind.AREA, "m2", "meter ** 2", "decimeter ** 2"),
    (Kind.AREA, "ft²", "foot ** 2", "decimeter ** 2"),
    (Kind.AREA, "in2", "inch ** 2", "decimeter ** 2"),
    (Kind.VOLUME, "L", "liter", "liter"),
    (Kind.VOLUME, "mL", "milliliter", "liter"),
    (Kind.VOLUME, "m3", "meter ** 3", "liter"),
    (Kind.VOLUME, "US gal", "gallon", "liter"),
    (Kind.CURRENT, "A", "ampere", "ampere"),
    (Kind.CURRENT, "mA", "milliampere", "ampere"),
    (Kind.VOLTAGE, "V", "volt", "volt"),
    (Kind.VOLTAGE, "mV", "millivolt", "volt"),
    (Kind.CONCENTRATION, "g/L", "gram / liter", "gram / liter"),
    (Kind.CONCENTRATION, "mg/L", "milligram / liter", "gram / liter"),
    (Kind.CONCENTRATION, "oz/gal", "ounce / gallon", "gram / liter"),
    (Kind.TIME, "s", "second", "second"),
    (Kind.TIME, "min", "minute", "second"),
    (Kind.TIME, "h", "hour", "second"),
    (Kind.TIME, "d", "day", "second"),
    (Kind.STRENGTH, "MPa", "megapascal", "megapascal"),
    (Kind.STRENGTH, "N/mm2", "newton / millimeter ** 2", "megapascal"),
    (Kind.STRENGTH, "ksi", "kilopsi", "megapascal"),
    (Kind.LENGTH, "mm", "millimeter", "millimeter"),
    (Kind.LENGTH, "cm", "centimeter", "millimeter"),
    (Kind.LENGTH, "m", "meter", "millimeter"),
    (Kind.LENGTH, "in", "inch", "millimeter"),
    (Kind.LENGTH, "ft", "foot", "millimeter"),
    (Kind.SPEED, "m/s", "meter / second", "meter / second"),
    (Kind.SPEED, "m/min", "meter / minute", "meter / second"),
    (Kind.SPEED, "ft/min", "foot / minute", "meter / second"),
    (Kind.SPEED, "sfpm", "foot / minute", "meter / second"),
    (Kind.FLOW, "L/h", "liter / hour", "liter / hour"),
    (Kind.FLOW, "L/min", "liter / minute", "liter / hour"),
    (Kind.FLOW, "gal/h", "gallon / hour", "liter / hour"),
    (Kind.FLOW, "gal/min", "gallon / minute", "liter / hour"),
    (Kind.CHARGE, "Ah", "ampere * hour", "ampere * hour"),
    (Kind.CHARGE, "Amin", "ampere * minute", "ampere * hour"),
    (Kind.MASS, "g", "gram", "gram"),
    (Kind.MASS, "kg", "kilogram", "gram"),
    (Kind.MASS, "mg", "milligram", "gram"),
    (Kind.MASS, "oz", "ounce", "gram"),
)
"""Kind, as a plater writes it, as the library knows it, and the unit that it is kept in."""


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[float]:
    """The library's units."""
    return pint.UnitRegistry()


@pytest.mark.parametrize(("kind", "written", "known", "kept"), UNITS)
def test_factors(registry: pint.UnitRegistry[float], kind: Kind, written: str, known: str, kept: str) -> None:
    """12.5 of each unit comes to the same in the unit that it is kept in."""
    expected = registry.Quantity(12.5, known).to(kept).magnitude
    assert units.read(f"12.5 {written}", kind) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("degrees", [-40, 0, 32, 140, 451])
def test_fahrenheit(registry: pint.UnitRegistry[float], degrees: float) -> None:
    """Temperatures have a zero of their own."""
    expected = registry.Quantity(degrees, "degF").to("degC").magnitude
    assert units.read(f"{degrees} °F", Kind.TEMPERATURE) == pytest.approx(expected, abs=1e-9)


def test_a_duration_of_several_parts(registry: pint.UnitRegistry[float]) -> None:
    """1 h 20 min 5 s is the sum of its parts."""
    expected = sum(
        registry.Quantity(n, u).to("second").magnitude for n, u in ((1, "h"), (20, "min"), (5, "s"))
    )
    assert units.read("1 h 20 min 5 s", Kind.TIME) == pytest.approx(expected)


def test_one_a_dm2_is_9_29_a_ft2() -> None:
    """1 A/dm² is 9.2903 A/ft², and an ounce a US gallon is 7.489 g/L."""
    assert units.write(1, Kind.DENSITY, "US", digits=5) == "9.2903 A/ft²"
    assert units.read("1 oz/gal", Kind.CONCENTRATION) == pytest.approx(7.489, abs=5e-4)
