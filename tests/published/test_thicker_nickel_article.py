"""A trade article on thicker nickel deposits (read in a secondary copy)."""

from __future__ import annotations

import pytest

from runner import units
from runner.plating import distribution, faraday
from runner.plating.metals import NICKEL_II

_MEAN_UM = units.read("0.002 in", units.Kind.THICKNESS)
_MINIMUM_UM = units.read("0.0012 in", units.Kind.THICKNESS)


@pytest.mark.parametrize(("density", "minutes"), [("20 A/ft²", 120), ("60 A/ft²", 40)])
def test_two_thousandths_of_nickel(density: str, minutes: float) -> None:
    """0.002 in takes 2 h at 20 A/ft² and 40 min at 60 A/ft², with the usual 95.5 %."""
    density_a_dm2 = units.read(density, units.Kind.DENSITY)
    dwell_s = faraday.dwell_needed_s(NICKEL_II, _MEAN_UM, 1, density_a_dm2, 0.955)
    assert dwell_s / 60 == pytest.approx(minutes, rel=0.01)


def test_a_minimum_asks_for_a_larger_mean() -> None:
    """A minimum of 0.0012 in asks for at least 0.002 in of mean: a ratio of 0.6."""
    assert distribution.mean_for_minimum_um(_MINIMUM_UM, 0.6) == pytest.approx(_MEAN_UM)
    assert distribution.minimum_from_mean_um(_MEAN_UM, 0.6) == pytest.approx(_MINIMUM_UM)
