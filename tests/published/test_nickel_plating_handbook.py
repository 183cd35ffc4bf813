"""Nickel Plating Handbook, 2014: ``m = 1.095·a·I·t`` and ``s = 12.294·a·I·t/A`` (from memory)."""

from __future__ import annotations

import pytest

from runner import units
from runner.plating import faraday
from runner.plating.metals import NICKEL_II
from runner.plating.solutions import solution

_MIL_UM = units.read("1 mil", units.Kind.THICKNESS)
_40_ASF = units.read("40 A/ft²", units.Kind.DENSITY)


def test_mass_relation() -> None:
    """1.095 g of nickel an ampere-hour at full efficiency."""
    assert round(faraday.g_per_ah(NICKEL_II), 3) == 1.095


def test_thickness_relation() -> None:
    """12.294 µm an ampere-hour on a square decimetre; its density is 8.907, ours 8.908."""
    assert faraday.um_per_ah_dm2(NICKEL_II) == pytest.approx(12.294, rel=2e-4)


def test_the_usual_efficiency_is_the_table_row() -> None:
    """95.5 % is the handbook's usual efficiency, and what a Watts bath is reckoned with."""
    row = solution("watts-nickel")
    assert row.efficiency is not None
    assert row.efficiency.at(4) == 0.955


@pytest.mark.parametrize(
    ("thickness_um", "density_a_dm2", "minutes"), [(23.48, 4, 30), (25, 5, 25.6), (_MIL_UM, _40_ASF, 30.2)]
)
def test_times_by_the_relation(thickness_um: float, density_a_dm2: float, minutes: float) -> None:
    """Three times worked from the relation at 95.5 % (computed)."""
    found = faraday.dwell_needed_s(NICKEL_II, thickness_um, 1, density_a_dm2, 0.955) / 60
    assert found == pytest.approx(minutes, abs=0.05)
