"""ASTM B850-98(2009), Table 1, relief bakes at 190 to 220 °C (read in a secondary copy).

The class of steel that needs no bake, and the four hours to its start, are from memory.
"""

from __future__ import annotations

from typing import NamedTuple

import pytest

from runner import units
from runner.plating.bake import relief_bake, strength_of_hardness


class Row(NamedTuple):
    """One row as printed: MPa, ksi and Rockwell C from and to, and hours."""

    mpa: tuple[float, float]
    ksi: tuple[float, float]
    hrc: tuple[float, float]
    hours: int


PRINTED = (
    Row((1701, 1800), (247, 261), (49, 51), 22),
    Row((1601, 1700), (232, 247), (47, 49), 20),
    Row((1501, 1600), (218, 232), (45, 47), 18),
    Row((1401, 1500), (203, 218), (43, 45), 16),
    Row((1301, 1400), (189, 203), (39, 43), 14),
    Row((1201, 1300), (174, 189), (36, 39), 12),
    Row((1101, 1200), (160, 174), (33, 36), 10),
    Row((1001, 1100), (145, 160), (31, 33), 8),
)

ROWS = pytest.mark.parametrize("row", PRINTED, ids=lambda row: f"{row.mpa[0]} MPa")


@ROWS
def test_hours_over_the_whole_band(row: Row) -> None:
    """Both ends and the middle of a row give its hours, within the window of the oven."""
    low, high = row.mpa
    for strength_mpa in (low, (low + high) / 2, high):
        bake = relief_bake(strength_mpa)
        assert bake.hours == row.hours
        assert bake.temperature_c is not None
        assert (bake.temperature_c.low, bake.temperature_c.high) == (190, 220)
        assert bake.note == ""


@ROWS
def test_the_ksi_column_is_the_same_band(row: Row) -> None:
    """The printed ksi are the printed MPa to their rounding."""
    for mpa, ksi in zip(row.mpa, row.ksi, strict=True):
        assert units.read(f"{ksi} ksi", units.Kind.STRENGTH) == pytest.approx(mpa, abs=4)


@ROWS
def test_hardness_within_a_row_gives_its_hours(row: Row) -> None:
    """The lower edge and the middle of the hardness column lead to the same bake as the strength."""
    low, high = row.hrc
    for hrc in (low, (low + high) / 2):
        strength_mpa = strength_of_hardness(hrc)
        assert row.mpa[0] <= strength_mpa <= row.mpa[1]
        assert relief_bake(strength_mpa).hours == row.hours


def test_weaker_steel_needs_none() -> None:
    """Class ER-0, below 1000 MPa (from memory)."""
    bake = relief_bake(999.9)
    assert (bake.hours, bake.temperature_c, bake.start_within_h) == (0, None, None)


def test_the_bake_starts_within_four_hours() -> None:
    """At most 4 h after plating (from memory)."""
    start = relief_bake(1450).start_within_h
    assert start is not None
    assert (start.value, start.unit) == (4, "h")
