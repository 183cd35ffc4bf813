"""A shop's own figure goes before the table's, and it is said which was taken."""

from __future__ import annotations

import pytest

from runner.plating.solutions import SOLUTIONS
from runner.plating.sources import Window
from runner.shop.reading import parse_shop
from runner.shop.tank_figures import (
    Chosen,
    density_of,
    efficiency_of,
    hazards_of,
    ph_of,
    ppe_of,
    solution_of,
    temperature_of,
)
from support.shops import small_shop

OWN = small_shop().tanks["nickel"]
BARE = parse_shop('format = 1\ntitle = "Works"\n[tank.nickel]\nsolution = "watts-nickel"\n').tanks["nickel"]
RINSE = small_shop().tanks["rinse-1"]
WATTS = SOLUTIONS["watts-nickel"]


@pytest.mark.parametrize(
    ("chosen", "low", "high"),
    [(temperature_of(OWN), 52, 60), (ph_of(OWN), 3.8, 4.4), (density_of(OWN), 2, 6)],
    ids=["temperature", "pH", "density"],
)
def test_the_shops_own_window_counts(chosen: Chosen[Window | None], low: float, high: float) -> None:
    """And its origin is the shop's file."""
    assert chosen.value is not None
    assert chosen.value.low == low
    assert chosen.value.high == pytest.approx(high)
    assert chosen.origin == "shop.toml (the shop's own figure)"


def test_the_tables_window_counts_where_the_shop_says_nothing() -> None:
    """With the table's own source."""
    assert temperature_of(BARE).value == WATTS.temperature_c
    assert ph_of(BARE).value == WATTS.ph
    chosen = density_of(BARE)
    assert chosen.value == WATTS.density_a_dm2
    assert WATTS.density_a_dm2 is not None
    assert chosen.origin == str(WATTS.density_a_dm2.source)


def test_efficiency_says_whose_it_is() -> None:
    """The shop's figure is flat over current density; the table's carries its source."""
    own, table = efficiency_of(OWN), efficiency_of(BARE)
    assert own.value is not None
    assert own.value.at(4) == 0.955
    assert own.origin == "shop.toml (the shop's own figure)"
    assert table.value == WATTS.efficiency
    assert WATTS.efficiency is not None
    assert table.origin == str(WATTS.efficiency.source)


def test_a_rinse_has_no_figures() -> None:
    """Neither shop nor table has one, and no origin is made up."""
    for chosen in (temperature_of(RINSE), ph_of(RINSE), density_of(RINSE), efficiency_of(RINSE)):
        assert chosen.value is None
        assert chosen.origin == ""


def test_hazards_and_equipment_add_up() -> None:
    """What the row says comes first, what the shop adds follows, and nothing stands twice."""
    assert hazards_of(OWN) == (*WATTS.hazards, "Slippery floor.")
    assert ppe_of(OWN)[: len(WATTS.ppe)] == WATTS.ppe
    assert sorted(ppe_of(OWN)) == sorted({*WATTS.ppe, "goggles", "apron"})
    assert hazards_of(BARE) == WATTS.hazards


def test_the_row_of_a_tank_is_found() -> None:
    """By the name of its solution."""
    assert solution_of(OWN) is WATTS
