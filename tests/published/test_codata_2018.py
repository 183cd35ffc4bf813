"""CODATA recommended values of the fundamental constants, 2018, as a scientific library carries them."""

from __future__ import annotations

import pytest
from scipy import constants as codata

from runner.plating import constants
from runner.plating.hydrogen import hydrogen_l


def test_the_faraday_constant_is_the_exact_product() -> None:
    """CODATA 2018 makes F the product of two exact constants, with no uncertainty left."""
    value, unit, uncertainty = codata.physical_constants["Faraday constant"]
    assert (unit, uncertainty) == ("C mol^-1", 0.0)
    assert constants.FARADAY.value == pytest.approx(value, rel=1e-15)


def test_its_factors_are_the_exact_ones() -> None:
    """CODATA 2018: elementary charge and Avogadro constant."""
    assert constants.ELEMENTARY_CHARGE.value == codata.e
    assert constants.AVOGADRO.value == codata.N_A


def test_one_mole_of_electrons_is_26_8015_ampere_hours() -> None:
    """CODATA 2018, in the unit of the shop (computed)."""
    ampere_hours = codata.e * codata.N_A / codata.hour
    assert round(ampere_hours, 4) == 26.8015
    assert constants.FARADAY.value / constants.SECONDS_PER_HOUR == pytest.approx(ampere_hours, rel=1e-15)


def test_the_molar_volume_of_gas() -> None:
    """CODATA 2018: molar volume of ideal gas at 273.15 K and 101.325 kPa."""
    name = "molar volume of ideal gas (273.15 K, 101.325 kPa)"
    litres = codata.physical_constants[name][0] * 1000
    assert constants.MOLAR_GAS_VOLUME.value == pytest.approx(litres, rel=1e-8)


def test_hydrogen_of_an_ampere_hour_follows_from_the_constants() -> None:
    """0.418 L from each ampere-hour that deposits nothing; 355 L/h from a chromium tank of 1000 A at 15 %."""
    moles = 3600 / (2 * codata.e * codata.N_A)
    litres = moles * codata.R * 273.15 / 101325 * 1000
    assert round(litres, 3) == 0.418
    assert hydrogen_l(1, 0) == pytest.approx(litres, rel=1e-9)
    assert hydrogen_l(1000, 0.15) == pytest.approx(355, abs=0.5)
