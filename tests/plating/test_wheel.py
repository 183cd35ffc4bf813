"""Wheel, speed and turns as inverses of one another."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.plating import wheel

diameters_mm = st.floats(10, 1000)
speeds_m_s = st.floats(0.1, 100)


@given(diameters_mm, speeds_m_s)
def test_speed_and_diameter_come_back(diameter_mm: float, speed_m_s: float) -> None:
    """Turns reckoned from a speed give that speed, and that wheel, again."""
    rpm = wheel.wheel_rpm(diameter_mm, speed_m_s)
    assert math.isclose(wheel.wheel_speed_m_s(diameter_mm, rpm), speed_m_s, rel_tol=1e-12)
    assert math.isclose(wheel.wheel_diameter_mm(speed_m_s, rpm), diameter_mm, rel_tol=1e-12)


@pytest.mark.parametrize("figures", [(0, 35), (200, 0), (-200, 35), (200, math.inf)])
def test_a_wheel_without_meaning_is_refused(figures: tuple[float, float]) -> None:
    """No wheel or no speed is no question."""
    for sum_of in (wheel.wheel_rpm, wheel.wheel_speed_m_s, wheel.wheel_diameter_mm):
        with pytest.raises(ValueError, match="above zero"):
            sum_of(*figures)
