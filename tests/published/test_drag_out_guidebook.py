"""Metal Finishing Guidebook 2012-13, Table II: drag-out by the way a part hangs and drains (read in it)."""

from __future__ import annotations

import pint
import pytest

from runner.plating.dragout import DRAG_OUT, drag_out

PRINTED = (
    ("vertical", "well drained", 0.4, 16),
    ("vertical", "poorly drained", 2.0, 81),
    ("vertical", "very poorly drained", 4.0, 163),
    ("horizontal", "well drained", 0.8, 33),
    ("horizontal", "very poorly drained", 10.0, 407),
    ("cup-shaped", "very poorly drained", 24.0, 978),
)
"""Hang, drainage, US gallons per 1000 ft² (upper figure), and the same in mL/m²."""


@pytest.mark.parametrize(("hang", "drainage", "gallons", "ml_m2"), PRINTED)
def test_drag_out_rows(hang: str, drainage: str, gallons: float, ml_m2: float) -> None:
    """Every row in both units."""
    row = drag_out(hang, drainage)
    assert row.high_gal_1000_ft2 == gallons
    assert row.high_ml_m2 == pytest.approx(ml_m2, abs=0.5)


def test_the_table_is_whole() -> None:
    """No row of ours is missing from the printed ones, and cups begin at 8 gallons, 326 mL/m²."""
    assert [(row.hang, row.drainage) for row in DRAG_OUT] == [row[:2] for row in PRINTED]
    assert drag_out("cup-shaped", "very poorly drained").low_ml_m2 == pytest.approx(326, abs=0.5)


def test_the_unit_by_a_general_library() -> None:
    """One US gallon on 1000 ft² is 40.746 mL/m²."""
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    factor = registry.Quantity(0.001, "gallon / foot ** 2").to("milliliter / meter ** 2").magnitude
    assert drag_out("vertical", "well drained").low_ml_m2 / 0.4 == pytest.approx(factor, rel=1e-9)
    assert factor == pytest.approx(40.746, abs=5e-4)
