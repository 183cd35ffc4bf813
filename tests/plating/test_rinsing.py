"""Rinse water, ratios and strengths."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.faults import InputFault
from runner.plating import rinsing
from runner.plating.dragout import drag_out, drag_out_l

ratios = st.floats(1.001, 1e9)
stages_up_to_ten = st.integers(1, 10)
waters = st.floats(0.001, 1e4)


@given(ratios, stages_up_to_ten)
def test_water_gives_the_ratio_it_was_asked_for(ratio: float, stages: int) -> None:
    """The exact sum run backwards and forwards comes out where it began."""
    water = rinsing.counterflow_water(ratio, stages)
    assert math.isclose(rinsing.counterflow_ratio(water, stages), ratio, rel_tol=1e-9)


@given(waters, stages_up_to_ten)
def test_ratio_gives_the_water_it_came_from(water: float, stages: int) -> None:
    """The other way round, as far as a ratio near one still tells the water apart."""
    ratio = rinsing.counterflow_ratio(water, stages)
    assert math.isclose(rinsing.counterflow_water(ratio, stages), water, rel_tol=1e-9, abs_tol=1e-9)


@given(ratios, stages_up_to_ten)
def test_the_approximation_never_asks_for_too_little(ratio: float, stages: int) -> None:
    """It errs on the safe side."""
    exact = rinsing.counterflow_water(ratio, stages)
    assert rinsing.counterflow_water_approximate(ratio, stages) >= exact


@given(ratios, st.integers(1, 9))
def test_a_tank_more_never_takes_more_water(ratio: float, stages: int) -> None:
    """Counterflow saves water with every tank."""
    assert rinsing.counterflow_water(ratio, stages + 1) <= rinsing.counterflow_water(ratio, stages)


@given(ratios, stages_up_to_ten)
def test_separate_rinses_run_backwards(ratio: float, stages: int) -> None:
    """Freshly fed rinses multiply."""
    water = rinsing.separate_water(ratio, stages)
    assert math.isclose(rinsing.separate_ratio(water, stages), ratio, rel_tol=1e-9)


@given(st.floats(0.1, 1e4), st.integers(2, 10))
def test_strength_falls_from_tank_to_tank(water: float, stages: int) -> None:
    """Each tank is weaker than the one before, and the last is one over the ratio."""
    shares = [rinsing.counterflow_share(water, stages, tank) for tank in range(1, stages + 1)]
    assert all(after < before for before, after in pairwise(shares))
    assert math.isclose(shares[-1], 1 / rinsing.counterflow_ratio(water, stages))


@given(st.integers(1, 1000), st.floats(10, 5000), st.floats(0.001, 1))
def test_a_still_rinse_stays_below_the_trickle(loads: int, volume_l: float, dragout_l: float) -> None:
    """Load by load is a little weaker than in a steady trickle, and never stronger than the bath."""
    by_loads = rinsing.still_share(loads, volume_l, dragout_l)
    trickle = rinsing.still_share_continuous(loads, volume_l, dragout_l)
    assert 0 < by_loads <= trickle <= 1


def test_still_rinses_in_a_row_multiply() -> None:
    """One load through two clean still rinses of a thousand volumes: about a millionth."""
    assert rinsing.still_series_share(2, 500, 0.5) == pytest.approx(1e-6)


def test_a_rinse_that_is_never_changed_between_loads_is_all_drag_out() -> None:
    """With a very long interval the peak is one load in clean water."""
    assert rinsing.intermittent_peak_share(0.5, 400, 240, 1e7) == pytest.approx(0.5 / 400)


@pytest.mark.parametrize("ratio", [1.0, 0.5, 0.0, -10.0, math.nan, math.inf])
def test_a_ratio_that_thins_nothing_is_refused(ratio: float) -> None:
    """A ratio of one is no rinse."""
    for sum_of in (rinsing.counterflow_water, rinsing.counterflow_water_approximate, rinsing.separate_water):
        with pytest.raises(ValueError, match="ratio must be a number above 1"):
            sum_of(ratio, 2)


@pytest.mark.parametrize("stages", [0, -1, rinsing.MOST_STAGES + 1])
def test_stages_without_meaning_are_refused(stages: int) -> None:
    """None, less than none, and more than any line has."""
    with pytest.raises(ValueError, match="stages must be"):
        rinsing.counterflow_water(1000, stages)
    with pytest.raises(ValueError, match="stages must be"):
        rinsing.separate_ratio(10, stages)


@pytest.mark.parametrize("tank", [0, 4])
def test_a_tank_that_is_not_there_has_no_strength(tank: int) -> None:
    """Tanks count from 1."""
    with pytest.raises(ValueError, match="tank must be"):
        rinsing.counterflow_share(10, 3, tank)


@pytest.mark.parametrize("ratio", [math.nextafter(1, 2), 1e300, 1.7e308])
def test_the_ends_of_the_range_still_end(ratio: float) -> None:
    """The search stops at both ends of what a float can say, with a finite answer."""
    water = rinsing.counterflow_water(ratio, rinsing.MOST_STAGES)
    assert math.isfinite(water)
    assert water > 0


def test_drag_out_of_an_area() -> None:
    """100 dm² hung upright and well drained carries out about 16 mL."""
    assert drag_out_l(100, "vertical", "well drained") == pytest.approx(0.016, abs=5e-4)
    with pytest.raises(ValueError, match="area_dm2"):
        drag_out_l(0, "vertical", "well drained")


def test_a_way_of_hanging_that_is_not_in_the_table_is_named() -> None:
    """The remedy lists the rows there are."""
    with pytest.raises(InputFault, match="give one of: vertical, well drained"):
        drag_out("sideways", "well drained")
