"""What must hold of a plan whatever the figures."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.procedure.plan import Order
from support.plans import ONE, nickel

AREAS = st.floats(0.01, 1000)


class TestProportion:
    """What must hold whatever the figures (Faraday's law is linear in area and charge)."""

    @given(area_dm2=AREAS, times=st.floats(1.01, 9))
    def test_more_area_takes_more_current_and_the_same_time(self, area_dm2: float, times: float) -> None:
        """Current, charge and metal grow as the area; dwell and thickness stay."""
        less, more = nickel(Order(area_dm2, 1)), nickel(Order(area_dm2 * times, 1))
        assert less.current_a is not None
        assert less.charge_ah is not None
        assert more.current_a == pytest.approx(less.current_a * times)
        assert more.charge_ah == pytest.approx(less.charge_ah * times)
        assert more.dwell_s == pytest.approx(less.dwell_s)
        assert more.mean_thickness_um == pytest.approx(less.mean_thickness_um)

    @given(area_dm2=AREAS, pieces=st.integers(1, 9))
    def test_pieces_are_area(self, area_dm2: float, pieces: int) -> None:
        """Many small ones plate as one of their area together."""
        one, many = nickel(Order(area_dm2 * pieces, 1)), nickel(Order(area_dm2, pieces))
        assert many.current_a == pytest.approx(one.current_a)
        assert many.dwell_s == pytest.approx(one.dwell_s)

    @given(ratio=st.floats(0.01, 1))
    def test_the_thinnest_place_gets_what_was_asked_at_any_ratio(self, ratio: float) -> None:
        """A worse ratio takes more time, never less metal at the thinnest place."""
        step = nickel(replace(ONE, ratio=ratio))
        assert step.min_thickness_um == pytest.approx(20.32)
        assert step.dwell_s == pytest.approx(2596.5 * 0.6 / ratio, rel=1e-3)

    @given(order=st.builds(Order, AREAS, st.integers(1, 50), AREAS, AREAS))
    def test_parts_and_bare_metal_make_up_the_current(self, order: Order) -> None:
        """Nothing else takes any."""
        step = nickel(order)
        assert step.parts_current_a is not None
        assert step.tips_current_a is not None
        assert step.current_a == pytest.approx(step.parts_current_a + step.tips_current_a)
