"""Relief bakes at and between the rows, and hardness."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner import units
from runner.faults import InputFault
from runner.plating.bake import BEYOND_TABLE, relief_bake, strength_of_hardness


@pytest.mark.parametrize(
    ("strength_mpa", "hours"),
    [
        (1, 0),
        (999.999, 0),
        (1000, 8),
        (1000.5, 8),
        (1100, 8),
        (1100.5, 10),
        (1400.01, 16),
        (1450, 16),
        (1500, 16),
        (1500.5, 18),
        (1700.5, 22),
        (1800, 22),
    ],
)
def test_between_rows_the_longer_bake_is_taken(strength_mpa: float, hours: int) -> None:
    """The gaps of the printed table, and exactly 1000 MPa, fall on the safe side."""
    bake = relief_bake(strength_mpa)
    assert (bake.hours, bake.note) == (hours, "")


def test_beyond_the_table_the_longest_bake_with_a_word() -> None:
    """Nobody is sent away without a bake, nor told that the table covers it."""
    bake = relief_bake(1800.1)
    assert (bake.hours, bake.note) == (22, BEYOND_TABLE)


@given(st.floats(1, 3000), st.floats(1, 3000))
def test_stronger_steel_never_bakes_shorter(one: float, other: float) -> None:
    """Hours rise with strength throughout."""
    weaker, stronger = sorted((one, other))
    assert relief_bake(weaker).hours <= relief_bake(stronger).hours


@pytest.mark.parametrize("strength_mpa", [0, -1, math.nan, math.inf])
def test_a_strength_without_meaning_is_refused(strength_mpa: float) -> None:
    """No strength is not the same as a weak steel."""
    with pytest.raises(ValueError, match="strength_mpa"):
        relief_bake(strength_mpa)


@pytest.mark.parametrize(("hrc", "strength_mpa"), [(31, 1001), (34.5, 1151), (45, 1501), (51, 1800)])
def test_hardness_between_the_edges_of_the_rows(hrc: float, strength_mpa: float) -> None:
    """Linear between the edges; where two rows meet the stronger is taken."""
    assert strength_of_hardness(hrc) == pytest.approx(strength_mpa)


@given(st.floats(31, 51), st.floats(31, 51))
def test_harder_steel_is_never_weaker(one: float, other: float) -> None:
    """Strength rises with hardness throughout."""
    softer, harder = sorted((one, other))
    assert strength_of_hardness(softer) <= strength_of_hardness(harder)


@pytest.mark.parametrize("hrc", [30.9, 51.1, 0, math.nan, math.inf])
def test_hardness_outside_the_column_is_refused_by_name_of_its_range(hrc: float) -> None:
    """Both as an input fault and as a value that makes no sense."""
    for kind in (InputFault, ValueError):
        with pytest.raises(kind, match="runs from HRC 31 to HRC 51"):
            strength_of_hardness(hrc)


def test_a_hardness_is_read_where_a_strength_is_asked() -> None:
    """``HRC 44`` goes through the reader of quantities, and its refusal comes out as one of input."""
    assert units.read("HRC 44", units.Kind.STRENGTH, strength_of_hardness) == pytest.approx(1451)
    with pytest.raises(InputFault, match="give the tensile strength"):
        units.read("HRC 60", units.Kind.STRENGTH, strength_of_hardness)
