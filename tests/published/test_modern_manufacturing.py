"""*Fundamentals of Modern Manufacturing*, ch. 28: plating constants, examples, and a question after it."""

from __future__ import annotations

import pytest

from runner import units
from runner.plating import faraday
from runner.plating.metals import CHROMIUM_III, COPPER_I, NICKEL_II, ion

PLATING_CONSTANTS = (
    ("cadmium", 2, 6.73e-2),
    ("chromium", 3, 2.50e-2),
    ("copper", 1, 7.35e-2),
    ("gold", 1, 10.6e-2),
    ("nickel", 2, 3.42e-2),
    ("silver", 1, 10.7e-2),
    ("tin", 4, 4.21e-2),
    ("zinc", 2, 4.75e-2),
)
"""Table 28.1: metal, valence, mm³ for each ampere-second (from memory)."""


@pytest.mark.parametrize(("metal", "valence", "mm3_per_as"), PLATING_CONSTANTS)
def test_plating_constants(metal: str, valence: int, mm3_per_as: float) -> None:
    """Table 28.1 agrees with Faraday within a percent."""
    row = ion(metal, valence)
    mm3 = faraday.mass_deposited_g(row, 1 / 3600, 1) / row.density_g_cm3 * 1000
    assert mm3 == pytest.approx(mm3_per_as, rel=0.01)


def test_example_28_1_nickel() -> None:
    """125 cm² at 12 A for 15 min and 95 % comes to 0.028 mm (from memory)."""
    charge_ah = faraday.charge_passed_ah(12, 15 * 60)
    thickness_um = faraday.mean_thickness_um(NICKEL_II, charge_ah, 1.25, 0.95)
    assert round(thickness_um / 1000, 3) == 0.028


def test_copper_problem() -> None:
    """0.001 in on 36 in² at 15 A and 98 % takes 546 s by the table's constant (data from memory)."""
    area_dm2 = units.read("36 in2", units.Kind.AREA)
    thickness_um = units.read("0.001 in", units.Kind.THICKNESS)
    assert faraday.dwell_needed_s(COPPER_I, thickness_um, area_dm2, 15, 0.98) == pytest.approx(546, rel=0.01)


def test_chromium_under_a_rising_current() -> None:
    """125 cm² under I = 12 + 0.2 t for 20 min at 15 %: 63 mm³ and 5.0 µm (read in a secondary copy)."""
    readings = [(60.0 * minute, 12 + 0.2 * minute) for minute in range(21)]
    charge_ah = faraday.charge_of_readings_ah(readings)
    volume_mm3 = faraday.mass_deposited_g(CHROMIUM_III, charge_ah, 0.15) / CHROMIUM_III.density_g_cm3 * 1000
    assert volume_mm3 == pytest.approx(63, abs=0.5)
    thickness_um = faraday.mean_thickness_um(CHROMIUM_III, charge_ah, 1.25, 0.15)
    assert round(thickness_um, 1) == 5.0
