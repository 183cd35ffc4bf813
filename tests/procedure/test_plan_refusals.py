"""What the plan refuses or warns of: loads that cannot run, doubtful figures, orders that are none."""

from __future__ import annotations

import pytest

from runner.faults import InputFault
from runner.procedure.plan import Order, compute
from support.plans import changed, nickel, planned
from support.shops import ROUTE, SHOP, small_route, small_shop


class TestRefusals:
    """What makes a load impossible here; each with its figures."""

    def test_more_than_the_rectifier_gives(self) -> None:
        """76 dm² at 4 A/dm² are 304 A of 300 A; 75 dm² are just right; tips count."""
        (refusal,) = nickel(Order(76.0, 1)).refusals
        assert refusal.startswith("304 A are more than R1 gives (300 A)")
        assert nickel(Order(75.0, 1)).refusals == ()
        assert nickel(Order(75.0, 1, tips_dm2=0.5)).refusals

    def test_fewer_on_a_rack_mend_it(self) -> None:
        """The same pieces in two loads."""
        assert nickel(Order(38.0, 2)).refusals
        assert nickel(Order(38.0, 2, per_rack=1)).refusals == ()

    def test_more_area_than_the_tank_takes(self) -> None:
        """Parts count, bare tips do not."""
        shop = changed(SHOP, 'volume = "600 L"', 'volume = "600 L"\nmax_area = "10 dm²"')
        assert nickel(Order(10.0, 1, tips_dm2=1.0), shop=shop).refusals == ()
        (refusal,) = nickel(Order(10.1, 1), shop=shop).refusals
        assert refusal.startswith("10.1 dm² are more than Bright nickel takes at once (10 dm²)")

    def test_more_volts_than_the_rectifier_gives(self) -> None:
        """A strip at 6 V from a set of 5 V."""
        shop = changed(SHOP, 'max_current = "100 A"', 'max_current = "100 A"\nmax_voltage = "5 V"')
        (refusal,) = planned(shop=shop).step(1).refusals
        assert refusal == "6 V are more than R2 gives (5 V)"

    def test_a_density_outside_the_window_is_warned_of_not_refused(self) -> None:
        """The shop's own window of 2 to 6 A/dm²; the rules judge it."""
        route = changed(ROUTE, 'current_density = "4 A/dm²"', 'current_density = "7 A/dm²"')
        step = nickel(route=route)
        assert any("outside the window of 2 to 6 A/dm²" in warning for warning in step.warnings)
        assert step.refusals == ()

    def test_a_longest_time_too_short_for_the_metal_is_warned_of(self) -> None:
        """The metal's time is planned all the same."""
        route = changed(
            ROUTE,
            'tank = "nickel"\n',
            'tank = "nickel"\ndwell = { min = "1 min", max = "20 min" }\n',
        )
        step = nickel(route=route)
        assert step.dwell_s == pytest.approx(2596.5, abs=0.5)
        assert any("20 min allowed" in warning for warning in step.warnings)


@pytest.mark.parametrize(
    ("order", "said"),
    [
        (Order(10.0, 0), "0 pieces"),
        (Order(10.0, 100_001), "100001 pieces"),
        (Order(0.0, 1), "a piece's area of 0 dm²"),
        (Order(-1.0, 1), "a piece's area of -1 dm²"),
        (Order(float("nan"), 1), "a piece's area of nan dm²"),
        (Order(float("inf"), 1), "a piece's area of inf dm²"),
        (Order(10.0, 1, tips_dm2=-0.1), "bare tips of -0.1 dm²"),
        (Order(10.0, 1, thieves_dm2=float("nan")), "bare thieves of nan dm²"),
        (Order(10.0, 1, ratio=0.0), "a thickness ratio of 0"),
        (Order(10.0, 1, ratio=1.01), "a thickness ratio of 1.01"),
        (Order(10.0, 1, ratio=float("nan")), "a thickness ratio of nan"),
        (Order(10.0, 1, per_rack=0), "a rack that holds 0"),
    ],
)
def test_an_order_that_is_none_is_refused(order: Order, said: str) -> None:
    """As a fault with a remedy, never from inside a sum."""
    with pytest.raises(InputFault) as caught:
        compute(small_route(), small_shop(), order)
    (fault,) = caught.value.faults
    assert fault.message == said
    assert fault.remedy
