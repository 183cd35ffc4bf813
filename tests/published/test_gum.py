"""JCGM 100, *Guide to the expression of uncertainty in measurement*: example H.2 and the conversions of 4.3.

The outputs of H.2 were seen in secondary copies, its inputs are from memory.
"""

from __future__ import annotations

import math

import pytest
from scipy import stats

from runner.plating import uncertainty

VOLTAGE_V, U_VOLTAGE_V = 4.999, 0.0032
CURRENT_A, U_CURRENT_A = 0.019661, 0.0000095
CORRELATION = -0.36


def test_example_h2_impedance_from_correlated_readings() -> None:
    """Z = V/I = 254.260 Ω with u = 0.236 Ω (printed); 0.2366 from the rounded inputs."""
    impedance = VOLTAGE_V / CURRENT_A
    relative = uncertainty.quotient_relative(U_VOLTAGE_V / VOLTAGE_V, U_CURRENT_A / CURRENT_A, CORRELATION)
    assert round(impedance, 2) == 254.26
    assert impedance * relative == pytest.approx(0.236, abs=0.001)
    assert impedance * relative == pytest.approx(0.23660, abs=1e-5)


def test_leaving_the_correlation_out_is_wrong() -> None:
    """The same without correlation gives 0.204, which the example warns of."""
    uncorrelated = uncertainty.product_relative(((1, U_VOLTAGE_V / VOLTAGE_V), (-1, U_CURRENT_A / CURRENT_A)))
    assert VOLTAGE_V / CURRENT_A * uncorrelated == pytest.approx(0.20392, abs=1e-5)


def test_limits_become_the_deviations_of_their_distributions() -> None:
    """4.3.7 rectangular, 4.3.9 triangular, F.2.2.1 resolution: as a statistics library has them."""
    assert uncertainty.rectangular(1.5) == pytest.approx(stats.uniform(-1.5, 3).std())
    assert uncertainty.triangular(1.5) == pytest.approx(stats.triang(0.5, -1.5, 3).std())
    assert uncertainty.resolution(0.1) == pytest.approx(0.1 / math.sqrt(12))


def test_expanded_uncertainty_is_divided_by_its_coverage() -> None:
    """4.3.3: a certificate's uncertainty over its coverage factor; 2 covers about 95 %."""
    assert uncertainty.from_expanded(0.04) == pytest.approx(0.02)
    assert uncertainty.from_expanded(0.03, 3) == pytest.approx(0.01)
    assert stats.norm.cdf(uncertainty.COVERAGE) - stats.norm.cdf(-uncertainty.COVERAGE) == pytest.approx(
        0.95, abs=0.005
    )


def test_a_confidence_leaves_the_quantile_of_the_normal_distribution() -> None:
    """One-sided 95 % at a relative uncertainty of 3 %, as a statistics library has the quantile."""
    expected = 1 / (1 - float(stats.norm.ppf(0.95)) * 0.03)
    assert uncertainty.factor_for_confidence(0.03, 0.95) == pytest.approx(expected, rel=1e-9)


def test_a_thickness_by_weighing() -> None:
    """Weighed, d = m/(ρ·A): 0.2500 g, 0.50 dm², 8.90 g/cm³ give 5.618 µm with u = 0.115 µm (computed)."""
    thickness_um = 100 * 0.2500 / (8.90 * 0.50)
    relative = uncertainty.product_relative(((1, 0.0010 / 0.2500), (-1, 0.01 / 0.50), (-1, 0.02 / 8.90)))
    assert thickness_um == pytest.approx(5.618, abs=5e-4)
    assert thickness_um * relative == pytest.approx(0.115, abs=5e-4)
