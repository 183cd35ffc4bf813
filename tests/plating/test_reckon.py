"""Sums of the trade as JSON documents, and their refusals."""

from __future__ import annotations

import json
import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.faults import InputFault
from runner.plating import reckon
from runner.plating.solutions import SOLUTIONS, Solution

_ANY = st.floats(allow_nan=True, allow_infinity=True)


def test_forty_amps_on_ten_dm2_for_half_an_hour() -> None:
    """20 A·h of nickel: 20.9 g, 23.5 µm, 4 A/dm², at the table's 95.5 %."""
    found = reckon.deposit("nickel", "watts-nickel", 10, 40, time_s=1800)
    assert found["charge_ah"] == 20.0
    assert found["current_density_a_dm2"] == 4.0
    assert found["efficiency"] == 0.955
    assert found["mass_g"] == pytest.approx(20.91, abs=0.01)
    assert found["mean_thickness_um"] == pytest.approx(23.48, abs=0.01)
    assert found["ion"] == "Ni(II)"
    assert "from memory" in found["sources"]["efficiency"]
    json.dumps(found, allow_nan=False)


def test_a_thickness_in_place_of_a_time_gives_the_dwell() -> None:
    """The same deposit asked the other way round."""
    forward = reckon.deposit("nickel", "watts-nickel", 10, 40, time_s=1800)
    back = reckon.deposit("nickel", "watts-nickel", 10, 40, thickness_um=forward["mean_thickness_um"])
    assert back["dwell_s"] == pytest.approx(1800)
    assert back["charge_ah"] == pytest.approx(20)


def test_an_efficiency_that_is_given_goes_before_the_table() -> None:
    """And the sources say so."""
    found = reckon.deposit("nickel", "watts-nickel", 10, 40, time_s=1800, efficiency=0.9)
    assert found["efficiency"] == 0.9
    assert found["sources"]["efficiency"] == "given with the question"


def test_the_solution_decides_the_valence_unless_one_is_given() -> None:
    """Copper from cyanide takes half the charge of copper from acid."""
    args = (10.0, 30.0)
    acid = reckon.deposit("copper", "acid-copper", *args, time_s=600, efficiency=1)
    cyanide = reckon.deposit("copper", "cyanide-copper", *args, time_s=600, efficiency=1)
    other = reckon.deposit("copper", "acid-copper", *args, time_s=600, efficiency=1, valence=1)
    assert cyanide["mass_g"] == pytest.approx(2 * acid["mass_g"])
    assert other["mass_g"] == cyanide["mass_g"]


def test_a_metal_of_no_solution_is_reckoned_from_its_own_figures() -> None:
    """Silver has no bath in the table: the efficiency is given, the valence needs none."""
    found = reckon.deposit("silver", None, 1, 1, time_s=3600, efficiency=1)
    assert found["mass_g"] == pytest.approx(4.0247, abs=1e-4)
    with pytest.raises(InputFault, match="no efficiency is known here"):
        reckon.deposit("silver", None, 1, 1, time_s=3600)


def test_a_density_outside_the_window_is_said() -> None:
    """The sum stands, but the deposit is another."""
    inside = reckon.deposit("nickel", "watts-nickel", 10, 40, time_s=60)["notes"]
    outside = reckon.deposit("nickel", "watts-nickel", 10, 400, time_s=60)["notes"]
    assert len(inside) == 1
    assert "40 A/dm² is outside 3 to 11 A/dm²" in outside[1]


def test_chromium_says_that_it_runs_by_the_clock() -> None:
    """A thickness of chromium is a sum, not a plan."""
    notes = reckon.deposit("chromium", "hexavalent-chromium", 10, 100, time_s=180)["notes"]
    assert any("run by the clock" in note for note in notes)


@pytest.mark.parametrize(
    ("metal", "name", "message"),
    [
        ("copper", "watts-nickel", "watts-nickel does not deposit copper; give nickel"),
        ("nickel", "soak-cleaner", "soak-cleaner deposits nothing"),
        ("nickel", "watts", "did you mean watts-nickel"),
        ("zinc", "zincate", "zincate deposits nothing by current"),
        ("copper", None, "several valences"),
    ],
)
def test_a_metal_that_the_solution_does_not_deposit_is_refused(
    metal: str, name: str | None, message: str
) -> None:
    """With what to ask instead."""
    with pytest.raises(InputFault, match=message):
        reckon.deposit(metal, name, 10, 40, time_s=1800)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
@pytest.mark.parametrize("which", ["area", "current", "time", "thickness", "efficiency"])
def test_figures_without_meaning_say_what_to_give(which: str, bad: float) -> None:
    """Zero, negative, and no number at all."""
    figures = {"area": 10.0, "current": 40.0, which: bad}
    with pytest.raises(InputFault, match=rf"{which} must be above .*; give it"):
        reckon.deposit(
            "nickel",
            "watts-nickel",
            figures["area"],
            figures["current"],
            time_s=None if which == "thickness" else figures.get("time", 1800.0),
            thickness_um=figures.get("thickness"),
            efficiency=figures.get("efficiency"),
        )


@pytest.mark.parametrize("asked", [{}, {"time_s": 60.0, "thickness_um": 20.0}])
def test_a_time_or_a_thickness_not_both_and_not_neither(asked: dict[str, float]) -> None:
    """One of the two is the question."""
    with pytest.raises(InputFault, match="one of the two"):
        reckon.deposit(
            "nickel",
            "watts-nickel",
            10,
            40,
            time_s=asked.get("time_s"),
            thickness_um=asked.get("thickness_um"),
        )


def _finite_or_refused(asked: Callable[[], object]) -> None:
    try:
        found = asked()
    except InputFault:
        return
    json.dumps(found, allow_nan=False)


@given(_ANY, _ANY, _ANY | st.none(), _ANY | st.none(), _ANY | st.none())
def test_any_figures_are_answered_finitely_or_refused(
    area: float, current: float, time: float | None, thickness: float | None, efficiency: float | None
) -> None:
    """No figure brings a traceback or an answer that JSON cannot write."""
    _finite_or_refused(
        lambda: reckon.deposit(
            "nickel",
            "watts-nickel",
            area,
            current,
            time_s=time,
            thickness_um=thickness,
            efficiency=efficiency,
        )
    )


@given(_ANY, st.integers())
def test_any_rinse_is_answered_finitely_or_refused(ratio: float, stages: int) -> None:
    """The same for rinses, whatever is asked."""
    _finite_or_refused(lambda: reckon.rinse(ratio, stages))


@given(_ANY, _ANY)
def test_any_wheel_is_answered_finitely_or_refused(diameter: float, speed: float) -> None:
    """The same for wheels."""
    _finite_or_refused(lambda: reckon.wheel(diameter, speed))


@given(_ANY)
def test_any_strength_is_answered_finitely_or_refused(strength: float) -> None:
    """The same for bakes."""
    _finite_or_refused(lambda: reckon.bake(strength))


def test_rinse_gives_the_exact_water_beside_the_approximation() -> None:
    """1000 to 1 in three tanks: 9.642 exactly, 10 by the shop's rule."""
    found = reckon.rinse(1000, 3)
    assert found["water_per_dragout"] == pytest.approx(9.642, abs=5e-4)
    assert found["approximation"] == pytest.approx(10.0)


@pytest.mark.parametrize(("ratio", "stages"), [(1, 3), (0, 3), (math.nan, 3), (1000, 0), (1000, -1)])
def test_a_rinse_without_meaning_says_what_to_give(ratio: float, stages: int) -> None:
    """The remedy gives an example of both."""
    with pytest.raises(InputFault, match="give a ratio above 1, like 1000"):
        reckon.rinse(ratio, stages)


def test_bake_of_1450_mpa() -> None:
    """16 h at 190 to 220 °C, begun within 4 h, with how each is known."""
    found = reckon.bake(1450)
    assert found["hours"] == 16
    assert found["temperature_c"] == {"min": 190, "max": 220}
    assert found["start_within_h"] == 4
    assert found["source"] == "ASTM B850-98(2009), Table 1"
    assert found["known"] == "read in a secondary copy"
    assert "from memory" in found["start_source"]
    assert '"min": 190,' in json.dumps(found)


def test_bake_of_soft_steel_is_none() -> None:
    """Nought hours, and nothing to hold to."""
    found = reckon.bake(800)
    assert (found["hours"], found["temperature_c"], found["start_within_h"]) == (0, None, None)


def test_wheel_of_200_mm_at_35_m_s() -> None:
    """3342 turns a minute, and the wheel's own mark goes before it."""
    found = reckon.wheel(200, 35)
    assert found["rpm"] == pytest.approx(3342.25, abs=0.01)
    assert "marked on the wheel" in found["note"]


@pytest.mark.parametrize(
    ("diameter", "speed", "message"), [(0, 35, "diameter must be"), (200, -1, "speed must be")]
)
def test_a_wheel_without_meaning_says_what_to_give(diameter: float, speed: float, message: str) -> None:
    """Each figure by its name."""
    with pytest.raises(InputFault, match=message):
        reckon.wheel(diameter, speed)


def test_finish_takes_a_code_apart() -> None:
    """The same document as the reader of codes gives."""
    assert reckon.finish("Fe/Zn12") == {
        "basis": "steel",
        "layers": [{"metal": "zinc", "thickness_um": 12, "type": None}],
    }


@pytest.mark.parametrize("row", [row for row in SOLUTIONS.values() if row.ion], ids=lambda row: row.name)
def test_every_depositing_solution_can_be_reckoned_with(row: Solution) -> None:
    """In the middle of its window no row needs more than its name."""
    assert row.ion is not None
    assert row.density_a_dm2 is not None
    middle = (row.density_a_dm2.low + row.density_a_dm2.high) / 2
    found = reckon.deposit(row.ion.metal, row.name, 1, middle, thickness_um=5)
    assert found["dwell_s"] > 0
