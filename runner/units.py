"""The trade's quantities, read and written.

Owns the units that files, options and the keyboard may use, and their factors. Inside the program every
quantity is a float whose name carries the canonical unit of its kind (``thickness_um``, ``area_dm2``);
text with a unit exists only at the edges. Must not know what a quantity is used for.

Factors are exact by definition (1 in = 25.4 mm, 1 US gal = 231 in³, 1 oz = 28.349523125 g, 1 psi =
6894.757293168 Pa: NIST SP 811, appendix B) and checked against a general-purpose units library in
``tests/published/test_units.py``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from runner.faults import Fault, InputFault
from runner.text import shown

System = Literal["SI", "US"]
"""How quantities are shown; both systems are always read."""

_INCH_MM = 25.4
_FOOT_DM = 12 * _INCH_MM / 100
_US_GALLON_L = 231 * (_INCH_MM / 100) ** 3
_OUNCE_G = 28.349523125
_KSI_MPA = 6.894757293168361
_ZERO_C_IN_F = 32.0
_C_PER_F = 5 / 9

Factor = float | tuple[float, float]
"""Canonical units in one of this unit; with a second figure: that many canonical units at its zero."""

_FAHRENHEIT = (_C_PER_F, -_ZERO_C_IN_F * _C_PER_F)


class Kind(StrEnum):
    """What a quantity measures; the value is its name in messages."""

    THICKNESS = "thickness"
    DENSITY = "current density"
    AREA = "area"
    TEMPERATURE = "temperature"
    VOLUME = "volume"
    CURRENT = "current"
    VOLTAGE = "voltage"
    CONCENTRATION = "concentration"
    TIME = "time"
    STRENGTH = "tensile strength"
    LENGTH = "length"
    SPEED = "surface speed"
    FLOW = "water flow"
    CHARGE = "charge"
    SHARE = "share"
    MASS = "mass"


@dataclass(frozen=True, slots=True)
class _Units:
    """The units of one kind: accepted spellings with their factors, and what each system is shown in."""

    factors: dict[str, Factor]
    si: str
    us: str
    example: str


_KINDS: dict[Kind, _Units] = {
    Kind.THICKNESS: _Units(
        {"µm": 1.0, "um": 1.0, "mm": 1000.0, "mil": _INCH_MM, "in": _INCH_MM * 1000}, "µm", "mil", "20 µm"
    ),
    Kind.DENSITY: _Units(
        {
            "A/dm²": 1.0,
            "A/dm2": 1.0,
            "A/m²": 0.01,
            "A/m2": 0.01,
            "A/ft²": 1 / _FOOT_DM**2,
            "A/ft2": 1 / _FOOT_DM**2,
            "ASF": 1 / _FOOT_DM**2,
        },
        "A/dm²",
        "A/ft²",
        "4 A/dm²",
    ),
    Kind.AREA: _Units(
        {
            "dm²": 1.0,
            "dm2": 1.0,
            "cm²": 0.01,
            "cm2": 0.01,
            "m²": 100.0,
            "m2": 100.0,
            "ft²": _FOOT_DM**2,
            "ft2": _FOOT_DM**2,
            "in²": (_INCH_MM / 100) ** 2,
            "in2": (_INCH_MM / 100) ** 2,
        },
        "dm²",
        "ft²",
        "12 dm²",
    ),
    Kind.TEMPERATURE: _Units({"°C": 1.0, "C": 1.0, "°F": _FAHRENHEIT, "F": _FAHRENHEIT}, "°C", "°F", "60 °C"),
    Kind.VOLUME: _Units(
        {
            "L": 1.0,
            "l": 1.0,
            "mL": 0.001,
            "m³": 1000.0,
            "m3": 1000.0,
            "US gal": _US_GALLON_L,
            "gal": _US_GALLON_L,
        },
        "L",
        "US gal",
        "600 L",
    ),
    Kind.CURRENT: _Units({"A": 1.0, "mA": 0.001}, "A", "A", "48 A"),
    Kind.VOLTAGE: _Units({"V": 1.0, "mV": 0.001}, "V", "V", "6 V"),
    Kind.CONCENTRATION: _Units(
        {"g/L": 1.0, "g/l": 1.0, "mg/L": 0.001, "oz/gal": _OUNCE_G / _US_GALLON_L}, "g/L", "oz/gal", "30 g/L"
    ),
    Kind.TIME: _Units({"s": 1.0, "min": 60.0, "h": 3600.0, "d": 86400.0}, "s", "s", "1 h 20 min"),
    Kind.STRENGTH: _Units(
        {"MPa": 1.0, "N/mm²": 1.0, "N/mm2": 1.0, "ksi": _KSI_MPA}, "MPa", "ksi", "1500 MPa"
    ),
    Kind.LENGTH: _Units(
        {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": _INCH_MM, "ft": 12 * _INCH_MM}, "mm", "in", "200 mm"
    ),
    Kind.SPEED: _Units(
        {"m/s": 1.0, "m/min": 1 / 60, "ft/min": 12 * _INCH_MM / 60000, "sfpm": 12 * _INCH_MM / 60000},
        "m/s",
        "ft/min",
        "35 m/s",
    ),
    Kind.FLOW: _Units(
        {
            "L/h": 1.0,
            "l/h": 1.0,
            "L/min": 60.0,
            "gal/h": _US_GALLON_L,
            "US gal/h": _US_GALLON_L,
            "gal/min": 60 * _US_GALLON_L,
        },
        "L/h",
        "US gal/h",
        "120 L/h",
    ),
    Kind.CHARGE: _Units(
        {"Ah": 1.0, "A·h": 1.0, "A.h": 1.0, "Amin": 1 / 60, "A·min": 1 / 60}, "A·h", "A·h", "20 A·h"
    ),
    Kind.SHARE: _Units({"%": 0.01}, "%", "%", "2 %"),
    Kind.MASS: _Units({"g": 1.0, "kg": 1000.0, "mg": 0.001, "oz": _OUNCE_G}, "g", "oz", "12 g"),
}

_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_ONE = re.compile(rf"\s*({_NUMBER})\s*(.*?)\s*", re.DOTALL)
_TIME_PART = re.compile(rf"\s*({_NUMBER})\s*(d|h|min|s)(?![^\W\d_])")
_HARDNESS = re.compile(rf"\s*HRC\s*({_NUMBER})\s*", re.IGNORECASE)

Hardness = Callable[[float], float]
"""Tensile strength in MPa for a Rockwell C figure: a table of the trade, handed in by who knows it."""

_SIGNED = frozenset({Kind.TEMPERATURE})


def _a(kind: Kind) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def _no(kind: Kind, what: str) -> InputFault:
    units = _KINDS[kind]
    # The micro sign and the superscripts have plain spellings; name each unit once, in its usual form.
    names = [
        n
        for n in units.factors
        if not n.endswith("2") and not n.endswith("3") and n not in {"um", "l", "C", "F"}
    ]
    return InputFault(Fault(what, f'write it like "{units.example}" (units: {", ".join(names)})'))


def read(text: object, kind: Kind, hardness: Hardness | None = None) -> float:
    """A quantity in the canonical unit of its kind.

    Args:
        text: Such as ``"4 A/dm²"``; the space may be left out. Times may have several parts.
        kind: What is measured.
        hardness: For `Kind.STRENGTH` only: turns ``"HRC 45"`` into MPa.

    Raises:
        InputFault: No text, no number, no unit, an unknown unit, or a figure that is negative or not finite.
    """
    if not isinstance(text, str):
        raise _no(kind, f"{_a(kind)} needs a unit, found {shown(text, 60)!s} alone")
    plain = text.replace("μ", "µ").replace("\u00a0", " ").replace("\u202f", " ")
    value = _value(plain, kind, hardness)
    if not math.isfinite(value):
        raise _no(kind, f"{shown(text, 60)!r} is not a finite {kind}")
    if value < 0 and kind not in _SIGNED:
        raise _no(kind, f"{shown(text, 60)!r} is a negative {kind}")
    return value


def _value(text: str, kind: Kind, hardness: Hardness | None) -> float:
    if kind is Kind.TIME:
        return _time(text)
    if kind is Kind.STRENGTH and hardness is not None and (found := _HARDNESS.fullmatch(text)):
        return hardness(float(found.group(1)))
    found = _ONE.fullmatch(text)
    if not found:
        raise _no(kind, f"{shown(text, 60)!r} is no {kind}")
    number, unit = found.groups()
    if not unit:
        raise _no(kind, f"{_a(kind)} needs a unit, found {shown(number, 60)} alone")
    factor = _KINDS[kind].factors.get(re.sub(r"\s+", " ", unit))
    if factor is None:
        raise _no(kind, f"{shown(unit, 60)!r} is no unit of {kind}")
    if isinstance(factor, tuple):
        return float(number) * factor[0] + factor[1]
    return float(number) * factor


def _time(text: str) -> float:
    total, end = 0.0, 0
    for part in _TIME_PART.finditer(text):
        if part.start() != end:
            break
        factor = _KINDS[Kind.TIME].factors[part.group(2)]
        total += float(part.group(1)) * (factor if isinstance(factor, float) else factor[0])
        if part.group(1).lstrip().startswith("-"):
            return -abs(total)
        end = part.end()
    if end == 0 or text[end:].strip():
        raise _no(Kind.TIME, f"{shown(text, 60)!r} is no time with a unit")
    return total


def _number(value: float, digits: int) -> str:
    """Significant figures without an exponent, as a gauge or a meter would show them."""
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    plain = f"{value:.{min(decimals, 9)}f}"
    plain = plain.rstrip("0").rstrip(".") if "." in plain else plain
    return "0" if plain == "-0" else plain


def write(value: float, kind: Kind, system: System = "SI", digits: int = 3) -> str:
    """A quantity as text in the system's unit, to significant figures; a time by `write_time`."""
    if kind is Kind.TIME:
        return write_time(value)
    units = _KINDS[kind]
    unit = units.si if system == "SI" else units.us
    return f"{_number(to_unit(value, kind, unit), digits)} {unit}"


def to_unit(value: float, kind: Kind, unit: str) -> float:
    """A canonical figure in another unit of its kind, such as one that a check asks for.

    Raises:
        KeyError: The unit is none of the kind's.
    """
    factor = _KINDS[kind].factors[unit]
    return (value - factor[1]) / factor[0] if isinstance(factor, tuple) else value / factor


def write_time(seconds: float) -> str:
    """A duration in words of the shop: ``45 s``, ``5 min``, ``12 min 30 s``, ``1 h 20 min``."""
    whole = round(seconds)
    sign, whole = ("−", -whole) if whole < 0 else ("", whole)
    hours, rest = divmod(whole, 3600)
    minutes, secs = divmod(rest, 60)
    if hours:
        parts = (
            [f"{hours} h"]
            + ([f"{minutes} min"] if minutes else [])
            + ([f"{secs} s"] if secs and not minutes else [])
        )
    elif minutes:
        parts = [f"{minutes} min"] + ([f"{secs} s"] if secs else [])
    else:
        parts = [f"{secs} s"]
    return sign + " ".join(parts)


def write_clock(seconds: float) -> str:
    """A duration as a clock face: ``41:20`` or ``1:20:05``; negative ones carry a minus."""
    whole = math.floor(abs(seconds))
    hours, rest = divmod(whole, 3600)
    minutes, secs = divmod(rest, 60)
    face = f"{hours}:{minutes:02}:{secs:02}" if hours else f"{minutes}:{secs:02}"
    return f"−{face}" if seconds < 0 and whole else face
