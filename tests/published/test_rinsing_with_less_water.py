"""'Rinsing with Less Water', 1977 (read in the publication)."""

from __future__ import annotations

import pytest

from runner import units
from runner.plating import rinsing


def test_a_single_running_rinse() -> None:
    """1 gal/h of drag-out in 2000 gal/h of water rinses 2001 to 1."""
    assert rinsing.counterflow_ratio(2000, 1) == 2001


def test_what_is_left_of_the_nickel() -> None:
    """Nickel of 10 oz/gal is then 0.005 oz/gal in the rinse, about 37 mg/L."""
    left = units.read("10 oz/gal", units.Kind.CONCENTRATION) * rinsing.counterflow_share(2000, 1, 1)
    assert left == pytest.approx(units.read("0.005 oz/gal", units.Kind.CONCENTRATION), rel=1e-3)
    assert left * 1000 == pytest.approx(37, abs=0.5)
