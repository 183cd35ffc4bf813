"""An examination question on a sheet plated on both sides (read in a secondary copy)."""

from __future__ import annotations

import pytest

from runner.plating import faraday
from runner.plating.metals import NICKEL_II


def test_nickel_on_both_sides_of_a_sheet() -> None:
    """Two faces of 4 cm² at 15 A for 1 h and 60 % is 0.14 cm thick; one side alone would be twice that."""
    both_sides_dm2 = 2 * 4 / 100
    thickness_um = faraday.mean_thickness_um(
        NICKEL_II, faraday.charge_passed_ah(15, 3600), both_sides_dm2, 0.6
    )
    assert thickness_um / 10_000 == pytest.approx(0.1383, rel=2e-3)
    assert round(thickness_um / 10_000, 2) == 0.14
