"""'10 minutes to better rinsing', a trade note, example 1 (read in the publication)."""

from __future__ import annotations

import pytest

from runner.plating import rinsing


def test_one_gallon_in_a_hundred() -> None:
    """1 gal/h of drag-out with 99 gal/h of water rinses exactly 100 to 1."""
    assert rinsing.counterflow_ratio(99, 1) == 100
    assert rinsing.counterflow_water(100, 1) == pytest.approx(99, rel=1e-12)
