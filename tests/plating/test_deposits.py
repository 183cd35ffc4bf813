"""Charge, mass, thickness, dwell and current as inverses of one another."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.plating import faraday
from runner.plating.metals import IONS, NICKEL_II, Ion

ions = st.sampled_from(IONS)
thicknesses_um = st.floats(0.01, 1000)
areas_dm2 = st.floats(0.01, 1e4)
currents_a = st.floats(0.01, 1e4)
efficiencies = st.floats(0.05, 1)
readings = st.lists(st.tuples(st.floats(0, 1e5), st.floats(0, 1e4)), min_size=1, max_size=12).map(sorted)


@given(ions, thicknesses_um, areas_dm2, currents_a, efficiencies)
def test_dwell_and_thickness_are_inverses(
    ion: Ion, thickness_um: float, area_dm2: float, current_a: float, efficiency: float
) -> None:
    """What a dwell was reckoned for is what that dwell lays down."""
    dwell_s = faraday.dwell_needed_s(ion, thickness_um, area_dm2, current_a, efficiency)
    charge_ah = faraday.charge_passed_ah(current_a, dwell_s)
    assert math.isclose(
        faraday.mean_thickness_um(ion, charge_ah, area_dm2, efficiency), thickness_um, rel_tol=1e-9
    )


@given(ions, thicknesses_um, areas_dm2, currents_a, efficiencies)
def test_current_and_dwell_are_inverses(
    ion: Ion, thickness_um: float, area_dm2: float, current_a: float, efficiency: float
) -> None:
    """The current that fits a dwell is the one that the dwell was reckoned at."""
    dwell_s = faraday.dwell_needed_s(ion, thickness_um, area_dm2, current_a, efficiency)
    found_a = faraday.current_needed_a(ion, thickness_um, area_dm2, dwell_s, efficiency)
    assert math.isclose(found_a, current_a, rel_tol=1e-9)


@given(ions, thicknesses_um, areas_dm2, efficiencies)
def test_a_measured_thickness_gives_the_efficiency_back(
    ion: Ion, thickness_um: float, area_dm2: float, efficiency: float
) -> None:
    """The gauge finds the efficiency that the charge was reckoned with."""
    charge_ah = faraday.charge_needed_ah(ion, thickness_um, area_dm2, efficiency)
    found = faraday.efficiency_found(ion, thickness_um, charge_ah, area_dm2)
    assert math.isclose(found, efficiency, rel_tol=1e-9)


@given(readings, st.floats(0, 1))
def test_a_reading_more_on_the_line_changes_no_charge(taken: list[tuple[float, float]], part: float) -> None:
    """Charge between readings is taken as even, so a point between two adds nothing."""
    (from_s, from_a), (to_s, to_a) = taken[0], taken[-1]
    middle = (from_s + part * (to_s - from_s), from_a + part * (to_a - from_a))
    whole = faraday.charge_of_readings_ah([taken[0], taken[-1]])
    split = faraday.charge_of_readings_ah([taken[0], middle, taken[-1]])
    assert math.isclose(whole, split, rel_tol=1e-9, abs_tol=1e-6)


def test_forty_amps_for_half_an_hour_is_twenty_ampere_hours() -> None:
    """The plain case comes out exactly, with no digit of rounding."""
    assert faraday.charge_passed_ah(40, 1800) == 20.0
    assert faraday.charge_of_readings_ah([(0, 40), (1800, 40)]) == 20.0


def test_charge_of_no_span_is_none() -> None:
    """One reading spans no time, and neither does none."""
    assert faraday.charge_of_readings_ah([]) == 0
    assert faraday.charge_of_readings_ah([(60, 40)]) == 0


def test_readings_that_run_backwards_are_refused() -> None:
    """A clock set back would otherwise take charge away."""
    with pytest.raises(ValueError, match="comes after"):
        faraday.charge_of_readings_ah([(60, 40), (30, 40)])
    with pytest.raises(ValueError, match="current_a"):
        faraday.charge_of_readings_ah([(0, 40), (30, -1)])


def test_no_charge_no_metal() -> None:
    """A rack just hung has nothing on it, which is no fault."""
    assert faraday.mean_thickness_um(NICKEL_II, 0, 10, 0.955) == 0


@pytest.mark.parametrize(
    ("name", "figures"),
    [
        ("thickness_um", (0, 10, 40, 0.955)),
        ("area_dm2", (20, 0, 40, 0.955)),
        ("current_a", (20, 10, 0, 0.955)),
        ("current_a", (20, 10, math.nan, 0.955)),
        ("efficiency", (20, 10, 40, 0)),
        ("efficiency", (20, 10, 40, 95.5)),
    ],
)
def test_a_figure_without_meaning_is_refused(name: str, figures: tuple[float, float, float, float]) -> None:
    """Nothing is rejected silently, and the message names the figure."""
    with pytest.raises(ValueError, match=name):
        faraday.dwell_needed_s(NICKEL_II, *figures)


def test_a_dwell_of_nothing_needs_no_current() -> None:
    """No current lays a thickness in no time."""
    with pytest.raises(ValueError, match="dwell_s"):
        faraday.current_needed_a(NICKEL_II, 20, 10, 0, 0.955)
    with pytest.raises(ValueError, match="charge_ah"):
        faraday.efficiency_found(NICKEL_II, 20, 0, 10)
