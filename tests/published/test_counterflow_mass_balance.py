"""Rinsing from first principles: the mass balance of each tank, solved by a general linear algebra library.

The tables below are computed, not quoted; the balance is what they, and the code, are held against.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from runner.plating import rinsing

WATER_TABLE = (
    (1000, (999, 31.111, 9.642, 5.340), (1000, 31.623, 10, 5.623)),
    (2000, (1999, 44.213, 12.247, 6.410), (2000, 44.721, 12.599, 6.687)),
    (5000, (4999, 70.205, 16.753, 8.138), (5000, 70.711, 17.100, 8.409)),
    (10000, (9999, 99.496, 21.200, 9.733), (10000, 100, 21.544, 10)),
)
"""Ratio; exact water for 1, 2, 3, 4 tanks; the approximation for the same."""

CASES = tuple(
    (ratio, stages, exact[stages - 1], approximate[stages - 1])
    for ratio, exact, approximate in WATER_TABLE
    for stages in (1, 2, 3, 4)
)


def balanced_shares(water: float, stages: int) -> list[float]:
    """Steady strengths of counterflow tanks: what comes in with part and water goes out with both."""
    balance = np.zeros((stages, stages))
    carried_in = np.zeros(stages)
    for tank in range(stages):
        balance[tank, tank] = 1 + water
        if tank == 0:
            carried_in[tank] = 1
        else:
            balance[tank, tank - 1] = -1
        if tank + 1 < stages:
            balance[tank, tank + 1] = -water
    return [float(share) for share in np.linalg.solve(balance, carried_in)]


@pytest.mark.parametrize(("ratio", "stages", "exact", "approximate"), CASES)
def test_water_for_a_ratio(ratio: float, stages: int, exact: float, approximate: float) -> None:
    """Exact and approximate water to the digits of the table."""
    assert rinsing.counterflow_water(ratio, stages) == pytest.approx(exact, abs=6e-4)
    assert rinsing.counterflow_water_approximate(ratio, stages) == pytest.approx(approximate, abs=6e-4)


@pytest.mark.parametrize(
    ("ratio", "stages"), [(1.0001, 1), (1.5, 3), (3.0, 2), (4.0, 3), (1e4, 5), (1e12, 2)]
)
def test_the_root_is_the_one_a_general_solver_finds(ratio: float, stages: int) -> None:
    """The same water from a library's bracketing solver on the mass balance."""
    root = brentq(
        lambda water: 1 / balanced_shares(water, stages)[-1] - ratio, 1e-9, ratio, xtol=1e-14, rtol=1e-13
    )
    assert rinsing.counterflow_water(ratio, stages) == pytest.approx(root, rel=1e-6)


@pytest.mark.parametrize("water", [0.2, 1.0, 2.5, 44.213])
@pytest.mark.parametrize("stages", [1, 2, 3, 5])
def test_strength_in_every_tank(water: float, stages: int) -> None:
    """Each tank's share of the process solution, water of exactly one among them."""
    ours = [rinsing.counterflow_share(water, stages, tank) for tank in range(1, stages + 1)]
    assert ours == pytest.approx(balanced_shares(water, stages), rel=1e-10)


@pytest.mark.parametrize(
    ("water", "strengths_mg_l"), [(44.213, (1695.5, 37.50)), (12.247, (6120.9, 496.7, 37.50))]
)
def test_strengths_after_a_bath_of_75_g_l(water: float, strengths_mg_l: tuple[float, ...]) -> None:
    """Two and three tanks after nickel of 75 g/L, down to the usual 37.5 mg/L."""
    stages = len(strengths_mg_l)
    ours = [75_000 * rinsing.counterflow_share(water, stages, tank) for tank in range(1, stages + 1)]
    assert ours == pytest.approx(strengths_mg_l, rel=1e-4)


@pytest.mark.parametrize(
    ("loads", "strength_g_l"), [(1, 0.09990), (10, 0.99452), (100, 9.51174), (1000, 63.19367)]
)
def test_a_still_rinse_fills_up_load_by_load(loads: int, strength_g_l: float) -> None:
    """0.5 L a load into 500 L from a bath of 100 g/L; counted out load by load as well."""
    assert 100 * rinsing.still_share(loads, 500, 0.5) == pytest.approx(strength_g_l, abs=6e-6)
    strength = 0.0
    for _ in range(loads):
        strength = (500 * strength + 0.5 * 100) / 500.5
    assert 100 * rinsing.still_share(loads, 500, 0.5) == pytest.approx(strength, rel=1e-9)


def test_the_peak_of_a_rinse_that_takes_loads_now_and_then() -> None:
    """0.5 L every 5 min into 400 L at 240 L/h, followed load by load until it settles."""
    strength = 0.0
    for _ in range(2000):
        strength = strength * np.exp(-240 * 300 / 3600 / 400) + 0.5 / 400
    assert rinsing.intermittent_peak_share(0.5, 400, 240, 300) == pytest.approx(float(strength), rel=1e-9)


def test_ten_volumes_rinse_111_and_1111_to_one() -> None:
    """Water of ten volumes: 1 + 10 + 100 in two tanks, and a thousand more in three."""
    assert rinsing.counterflow_ratio(10, 2) == 111
    assert rinsing.counterflow_ratio(10, 3) == 1111
