"""Worked example and exercise of *Chemistry: Atoms First 2e*, section on electrolysis (data read in it)."""

from __future__ import annotations

import pytest

from runner.plating import faraday
from runner.plating.metals import CHROMIUM_III, ZINC_II


def test_example_16_9_time_for_a_chromium_layer() -> None:
    """0.010 mm of chromium(III) on 3.3 m² at 33.46 A takes 3.95·10⁴ s, 10.97 h (answer computed)."""
    dwell_s = faraday.dwell_needed_s(CHROMIUM_III, 10, 330, 33.46, 1)
    assert dwell_s == pytest.approx(3.95e4, rel=1e-3)
    assert round(dwell_s / 3600, 2) == 10.97


def test_check_your_learning_zinc_on_a_sheet() -> None:
    """3.00 m × 5.50 m × 0.100 mm of zinc is 11.8 kg; at 25.5 A it prints 382 h, rounded on the way."""
    charge_ah = faraday.charge_needed_ah(ZINC_II, 100, 1650, 1)
    assert round(faraday.mass_deposited_g(ZINC_II, charge_ah, 1) / 1000, 1) == 11.8
    hours = faraday.dwell_needed_s(ZINC_II, 100, 1650, 25.5, 1) / 3600
    assert hours == pytest.approx(378.8, abs=0.1)
    assert hours == pytest.approx(382, rel=0.01)
