"""Eurachem/CITAC guide *Quantifying Uncertainty in Analytical Measurement*, example A1 (read in it).

A calibration standard ``c = 1000·m·P/V``: a product of independent quantities, as a thickness is.
"""

from __future__ import annotations

import pytest

from runner.plating import uncertainty

MASS_MG, U_MASS_MG = 100.28, 0.05
PURITY, U_PURITY = 0.9999, 0.000058
VOLUME_ML, U_VOLUME_ML = 100.0, 0.07


def test_the_uncertainty_of_a_product() -> None:
    """1002.7 mg/L with a standard uncertainty of 0.9 mg/L, relative 0.0009; to more digits 0.86370."""
    concentration = 1000 * MASS_MG * PURITY / VOLUME_ML
    relative = uncertainty.product_relative(
        ((1, U_MASS_MG / MASS_MG), (1, U_PURITY / PURITY), (-1, U_VOLUME_ML / VOLUME_ML))
    )
    assert round(concentration, 1) == 1002.7
    assert round(relative, 4) == 0.0009
    assert round(concentration * relative, 1) == 0.9
    assert concentration * relative == pytest.approx(0.86370, abs=5e-6)


def test_the_purity_limit_is_rectangular() -> None:
    """Purity of 0.9999 ± 0.0001 has a standard uncertainty of 0.000058."""
    assert round(uncertainty.rectangular(0.0001), 6) == U_PURITY
