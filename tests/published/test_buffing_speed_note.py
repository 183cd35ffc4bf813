"""A trade note on buffing speed: surface feet a minute from wheel and spindle (read in the publication)."""

from __future__ import annotations

import math

import pytest

from runner import units
from runner.plating import wheel


def _sfpm(speed_m_s: float) -> float:
    return speed_m_s / units.read("1 ft/min", units.Kind.SPEED)


def test_the_speed_of_a_four_inch_wheel() -> None:
    """4 in at 800 rpm: the note prints 837.16 with its rounded factor, exact is 837.76."""
    diameter_mm = units.read("4 in", units.Kind.LENGTH)
    speed = _sfpm(wheel.wheel_speed_m_s(diameter_mm, 800))
    assert speed == pytest.approx(math.pi * 4 / 12 * 800, rel=1e-12)
    assert round(speed, 2) == 837.76
    assert speed == pytest.approx(837.16, rel=1e-3)


def test_the_wheel_for_a_speed() -> None:
    """9700 ft/min at 2300 rpm needs a wheel of 16.1 in."""
    diameter_mm = wheel.wheel_diameter_mm(units.read("9700 ft/min", units.Kind.SPEED), 2300)
    assert diameter_mm / 25.4 == pytest.approx(16.1, abs=0.05)


def test_the_average_speed_in_metres() -> None:
    """7500 ft/min is 38 m/s."""
    assert units.read("7500 ft/min", units.Kind.SPEED) == pytest.approx(38, abs=0.15)


@pytest.mark.parametrize(
    ("diameter_mm", "speed_m_s", "rpm"), [(200, 35, 3342), (250, 40, 3056), (300, 30, 1910)]
)
def test_turns_a_minute(diameter_mm: float, speed_m_s: float, rpm: float) -> None:
    """Three sizes worked in metric units (computed)."""
    assert round(wheel.wheel_rpm(diameter_mm, speed_m_s)) == rpm
