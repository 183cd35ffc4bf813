"""Cathode efficiency over current density."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.plating.efficiency import Efficiency

TABLE = Efficiency(((2.0, 0.90), (4.0, 0.96), (8.0, 0.80)))
tables = (
    st.lists(
        st.tuples(st.floats(0, 100), st.floats(0.01, 1)), min_size=1, max_size=6, unique_by=lambda p: p[0]
    )
    .map(sorted)
    .map(lambda points: Efficiency(tuple(points)))
)


@pytest.mark.parametrize(
    ("density_a_dm2", "efficiency"),
    [(0, 0.90), (2, 0.90), (3, 0.93), (4, 0.96), (6, 0.88), (8, 0.80), (50, 0.80)],
)
def test_linear_between_points_and_flat_outside(density_a_dm2: float, efficiency: float) -> None:
    """Points are met exactly and the ends are held."""
    assert TABLE.at(density_a_dm2) == pytest.approx(efficiency)


@given(tables, st.floats(0, 1000))
def test_it_never_leaves_the_band_of_its_points(table: Efficiency, density_a_dm2: float) -> None:
    """Interpolation invents no efficiency above the best or below the worst."""
    shares = [share for _, share in table.points]
    assert min(shares) * (1 - 1e-12) <= table.at(density_a_dm2) <= max(shares) * (1 + 1e-12)


@given(tables)
def test_every_point_is_met(table: Efficiency) -> None:
    """A table read at its own densities gives its own figures."""
    for density_a_dm2, share in table.points:
        assert math.isclose(table.at(density_a_dm2), share, rel_tol=1e-12)


def test_a_plain_figure_holds_everywhere() -> None:
    """One figure is a table of one point."""
    assert {Efficiency.flat(0.955).at(density) for density in (0, 4, 400)} == {0.955}


@pytest.mark.parametrize(
    ("points", "message"),
    [
        ((), "at least one point"),
        (((4, 0.9), (2, 0.8)), "must rise"),
        (((4, 0.9), (4, 0.8)), "must rise"),
        (((4, 0),), "efficiency"),
        (((4, 95.5),), "efficiency"),
        (((-1, 0.9),), "density"),
    ],
)
def test_a_table_without_meaning_is_refused(points: tuple[tuple[float, float], ...], message: str) -> None:
    """Whoever writes the table learns of it when it is made, not when it is read."""
    with pytest.raises(ValueError, match=message):
        Efficiency(points)


def test_a_density_that_is_no_number_has_no_efficiency() -> None:
    """NaN would otherwise slip through every comparison."""
    with pytest.raises(ValueError, match="density"):
        TABLE.at(math.nan)
