"""Amps for a rack, a rack's share of the meter, what the meter can show, thin places, and hydrogen."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.plating import current, distribution
from runner.plating.hydrogen import hydrogen_l

areas = st.floats(0.1, 1000)


def test_amps_count_tips_and_thieves() -> None:
    """4 A/dm² over 10 dm² of parts, 1 of tips and 2 of thieves is 52 A, of which the parts get 40."""
    total_a = current.amps_needed_a(4, 10, 1, 2)
    assert total_a == 52
    assert current.share_of_meter_a(total_a, 10, 13) == pytest.approx(40)


@given(st.floats(0.1, 60), areas, areas, areas)
def test_every_share_at_the_set_current_has_the_wanted_density(
    density: float, parts: float, tips: float, thieves: float
) -> None:
    """What is set by density comes back as that density on the parts."""
    total_a = current.amps_needed_a(density, parts, tips, thieves)
    on_parts_a = current.share_of_meter_a(total_a, parts, parts + tips + thieves)
    assert math.isclose(current.density_a_dm2(on_parts_a, parts), density, rel_tol=1e-9)


def test_a_part_is_not_more_than_the_whole() -> None:
    """An own area above that of the tank is a slip of the pen."""
    with pytest.raises(ValueError, match="more than all"):
        current.share_of_meter_a(40, 14, 13)


@pytest.mark.parametrize(("current_a", "readable"), [(30, True), (29.9, False), (300, True), (0, False)])
def test_a_meter_is_not_read_below_a_tenth(current_a: float, readable: bool) -> None:  # noqa: FBT001 -- a table column
    """On a 300 A set the meter begins to speak at 30 A (common practice)."""
    assert current.meter_can_show(current_a, 300) is readable
    assert str(current.LEAST_READABLE_SHARE.source.known) == "common practice"


@pytest.mark.parametrize("figures", [(0, 10, 0, 0), (4, 0, 0, 0), (4, 10, -1, 0), (4, 10, 0, -1)])
def test_amps_of_nonsense_are_refused(figures: tuple[float, float, float, float]) -> None:
    """No density or no parts is no question, and bare metal is never less than none."""
    with pytest.raises(ValueError, match="must be"):
        current.amps_needed_a(*figures)


@given(st.floats(0.01, 500), st.floats(0.05, 1))
def test_minimum_and_mean_are_inverses(minimum_um: float, ratio: float) -> None:
    """The mean for a minimum has that minimum, and is never thinner than it."""
    mean_um = distribution.mean_for_minimum_um(minimum_um, ratio)
    assert mean_um >= minimum_um
    assert math.isclose(distribution.minimum_from_mean_um(mean_um, ratio), minimum_um, rel_tol=1e-12)


@pytest.mark.parametrize("ratio", [0, 1.01, math.nan])
def test_a_ratio_is_above_none_and_at_most_one(ratio: float) -> None:
    """The thinnest place is never thicker than the mean."""
    with pytest.raises(ValueError, match="thickness_ratio"):
        distribution.minimum_from_mean_um(30, ratio)
    with pytest.raises(ValueError, match="thickness_ratio"):
        distribution.mean_for_minimum_um(30, ratio)


def test_full_efficiency_makes_no_gas_and_no_deposit_makes_the_most() -> None:
    """What is not metal is hydrogen."""
    assert hydrogen_l(20, 1) == 0
    assert hydrogen_l(20, 0.5) == pytest.approx(hydrogen_l(20, 0) / 2)
    assert hydrogen_l(0, 0) == 0


@pytest.mark.parametrize(("charge_ah", "efficiency"), [(-1, 0.5), (1, -0.1), (1, 1.1), (1, math.nan)])
def test_gas_of_nonsense_is_refused(charge_ah: float, efficiency: float) -> None:
    """Negative charge, or an efficiency outside its band."""
    with pytest.raises(ValueError, match="must be"):
        hydrogen_l(charge_ah, efficiency)
