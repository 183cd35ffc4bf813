"""'Water Conservation for Electroplaters: Counter-Current Rinsing', a state fact sheet (read in it).

Its federal forerunner, EPA/625/10-85/001, has the same bath rinsed to 37 mg/L (from memory).
"""

from __future__ import annotations

import pytest

from runner.plating import rinsing

SOLIDS_MG_L = 270_000

PRINTED = (
    (40, 1, 6750),
    (40, 2, 82),
    (40, 3, 18),
    (37, 1, 7300),
    (37, 2, 86),
    (37, 3, 20),
)
"""Limit in mg/L, counterflow tanks, about so many volumes of water for one of drag-out."""


@pytest.mark.parametrize(("limit_mg_l", "stages", "printed"), PRINTED)
def test_water_for_a_watts_bath(limit_mg_l: float, stages: int, printed: float) -> None:
    """A Watts bath of 270 000 mg/L, by the approximation that the sheets use, to their rounding."""
    ratio = SOLIDS_MG_L / limit_mg_l
    assert rinsing.counterflow_water_approximate(ratio, stages) == pytest.approx(printed, rel=0.05)


@pytest.mark.parametrize(("limit_mg_l", "stages", "printed"), PRINTED)
def test_the_exact_sum_asks_for_a_little_less(limit_mg_l: float, stages: int, printed: float) -> None:
    """The approximation errs on the side of too much water, never of too little."""
    ratio = SOLIDS_MG_L / limit_mg_l
    exact = rinsing.counterflow_water(ratio, stages)
    assert 0.9 * printed < exact < rinsing.counterflow_water_approximate(ratio, stages)
