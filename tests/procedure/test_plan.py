"""The plan's figures against sums worked by hand, each with the law or the table that it rests on."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.faults import InputFault
from runner.procedure.plan import Order, compute
from runner.procedure.reading import parse_procedure
from runner.procedure.sheet import Plan, PlannedStep
from runner.shop.reading import parse_shop
from support.shops import ROUTE, SHOP, small_route, small_shop

NICKEL_STEP = 6
ONE = Order(10.0, 1)

CHROMIUM = """\
format = 1
title = "Chromium alone (invented)"
basis = ["nickel"]

[[step]]
name = "Chromium"
does = "plate"
tank = "chrome"
deposit = { metal = "chromium", type = "regular", thickness = "0.3 µm", current_density = "12 A/dm²" }
polarity = "cathodic"
dwell = { min = "4 min", max = "5 min" }
"""


def planned(order: Order = ONE, *, shop: str = SHOP, route: str = ROUTE) -> Plan:
    """The plan of the small route, or of another, in the small shop, or in another."""
    standing = parse_shop(shop)
    return compute(parse_procedure(route, standing), standing, order)


def nickel(order: Order = ONE, *, shop: str = SHOP, route: str = ROUTE) -> PlannedStep:
    """Its nickel step."""
    return planned(order, shop=shop, route=route).step(NICKEL_STEP)


def changed(text: str, good: str, other: str) -> str:
    """A text with one part exchanged."""
    assert text.count(good) == 1
    return text.replace(good, other)


class TestBrightNickel:
    """4 A/dm², 0.955 efficiency, thinnest over mean 0.6, 0.8 mil asked for at the thinnest place."""

    def test_current_is_density_times_area(self) -> None:
        """4 A/dm² on 10 dm² are 40 A."""
        assert nickel().current_a == pytest.approx(40.0)

    def test_the_mean_is_the_minimum_over_the_ratio(self) -> None:
        """0.8 mil is 20.32 µm (1 in = 25.4 mm, NIST SP 811); over 0.6 that is 33.867 µm."""
        step = nickel()
        assert step.target_um == pytest.approx(20.32)
        assert step.mean_thickness_um == pytest.approx(20.32 / 0.6)
        assert step.min_thickness_um == pytest.approx(20.32)
        assert step.thickness_ratio == 0.6

    def test_the_dwell_is_what_faradays_law_asks(self) -> None:
        """By hand: F = 96 485.33 C/mol (CODATA 2018), Ni 58.6934 (IUPAC), 8.908 g/cm³.

        One A·h lays 58.6934 x 3600 / (2 x 96 485.33) = 1.09496 g, on 1 dm² 12.292 µm. 33.867 µm at
        4 A/dm² and 0.955 take 33.867 / (12.292 x 0.955 x 4) h = 2596.5 s.
        """
        step = nickel()
        assert step.um_per_ah_dm2 == pytest.approx(12.292, abs=0.001)
        assert step.dwell_s == pytest.approx(2596.5, abs=0.5)

    def test_charge_is_current_times_time(self) -> None:
        """40 A for 2596.5 s are 28.85 A·h, which deposit 28.85 x 1.09496 x 0.955 = 30.17 g (Faraday)."""
        step = nickel()
        assert step.charge_ah == pytest.approx(28.85, abs=0.01)
        assert step.deposited_g == pytest.approx(30.17, abs=0.01)

    def test_its_timer_follows_the_charge(self) -> None:
        """Common practice: a nickel tank is timed by ampere-hours."""
        assert nickel().follows == "charge"

    def test_the_shops_own_efficiency_goes_before_the_tables(self) -> None:
        """Time goes as one over efficiency, and the sheet says whose figure it was (Faraday)."""
        own = nickel(shop=changed(SHOP, "efficiency = 0.955", "efficiency = 0.5"))
        assert own.dwell_s == pytest.approx(2596.5 * 0.955 / 0.5, abs=1)
        table = nickel(shop=changed(SHOP, "efficiency = 0.955\n", ""))
        assert own.efficiency_from != table.efficiency_from

    def test_a_batchs_own_ratio_goes_before_the_tanks(self) -> None:
        """It belongs to part, rack and tank: at 0.4 the mean is 20.32 / 0.4 = 50.8 µm."""
        step = nickel(replace(ONE, ratio=0.4))
        assert step.mean_thickness_um == pytest.approx(50.8)
        assert step.dwell_s == pytest.approx(2596.5 * 0.6 / 0.4, abs=1)
        assert step.min_thickness_um == pytest.approx(20.32)

    def test_without_a_ratio_only_a_mean_is_promised_and_that_is_said(self) -> None:
        """The minimum stays empty; the mean is what was asked for."""
        step = nickel(shop=changed(SHOP, "thickness_ratio = 0.6\n", ""))
        assert step.min_thickness_um is None
        assert step.mean_thickness_um == pytest.approx(20.32)
        assert any("promises the mean, not the minimum" in warning for warning in step.warnings)
        assert not any("promises" in warning for warning in nickel().warnings)


class TestTipsAndThieves:
    """Bare metal beside the parts."""

    def test_they_take_current_and_give_no_thickness(self) -> None:
        """10 dm² of parts, 0.5 of tips, 1.5 of thieves at 4 A/dm²: 48 A, the parts' 40 plate them."""
        bare, hung = nickel(), nickel(Order(10.0, 1, tips_dm2=0.5, thieves_dm2=1.5))
        assert (hung.current_a, hung.parts_current_a, hung.tips_current_a) == pytest.approx((48.0, 40.0, 8.0))
        assert hung.energised_dm2 == pytest.approx(12.0)
        assert hung.parts_dm2 == pytest.approx(10.0)
        assert hung.mean_thickness_um == bare.mean_thickness_um
        assert hung.dwell_s == pytest.approx(bare.dwell_s)

    def test_their_charge_and_metal_count_for_the_tank(self) -> None:
        """The meter counts all of it, and the tank loses all of it: 12 / 10 of the parts' own."""
        bare, hung = nickel(), nickel(Order(10.0, 1, tips_dm2=2.0))
        assert bare.charge_ah is not None
        assert bare.deposited_g is not None
        assert hung.charge_ah == pytest.approx(bare.charge_ah * 1.2)
        assert hung.deposited_g == pytest.approx(bare.deposited_g * 1.2)


class TestLoads:
    """More pieces than a rack holds."""

    def test_ten_on_racks_of_four_are_four_four_and_two(self) -> None:
        """The last is set lower, and the steps are those of a full one: 4 x 2 dm² at 4 A/dm² are 32 A."""
        plan = planned(Order(2.0, 10, per_rack=4))
        assert [load.pieces for load in plan.loads] == [4, 4, 2]
        assert [dict(load.current_a)[NICKEL_STEP] for load in plan.loads] == pytest.approx([32, 32, 16])
        assert plan.step(NICKEL_STEP).current_a == pytest.approx(32)

    @pytest.mark.parametrize(("pieces", "per_rack"), [(3, None), (3, 5), (3, 3)])
    def test_what_one_rack_holds_is_one_load(self, pieces: int, per_rack: int | None) -> None:
        """All of it."""
        (load,) = planned(Order(1.0, pieces, per_rack=per_rack)).loads
        assert load.pieces == pieces

    @given(pieces=st.integers(1, 500), per_rack=st.integers(1, 500))
    def test_no_piece_is_lost_and_no_rack_overfilled(self, pieces: int, per_rack: int) -> None:
        """Full racks first, what is left over last."""
        sizes = [load.pieces for load in planned(Order(0.1, pieces, per_rack=per_rack)).loads]
        assert sum(sizes) == pieces
        assert max(sizes) <= per_rack
        assert set(sizes[:-1]) <= {per_rack}


class TestChromium:
    """What does not throw is timed by the clock."""

    def test_the_procedures_dwell_is_kept_and_the_mean_follows_from_it(self) -> None:
        """By hand: Cr(VI) 51.9961 x 3600 / (6 x 96 485.33) = 0.32334 g/A·h, over 7.19 g/cm³ 4.497 µm·dm².

        4 min at 12 A/dm² are 0.8 A·h/dm²; at 0.15 efficiency 4.497 x 0.8 x 0.15 = 0.540 µm (Faraday).
        """
        shop = SHOP + '\n[tank.own]\nsolution = "hexavalent-chromium"\nrectifier = "R1"\nefficiency = 0.15\n'
        (step,) = planned(shop=shop, route=changed(CHROMIUM, 'tank = "chrome"', 'tank = "own"')).steps
        assert step.follows == "clock"
        assert (step.dwell_s, step.dwell_max_s) == (240, 300)
        assert step.mean_thickness_um == pytest.approx(0.540, abs=0.001)

    def test_no_ratio_is_promised_for_it(self) -> None:
        """Neither the tank's nor the batch's: a ratio measured on nickel says nothing of chromium."""
        (step,) = planned(Order(10.0, 1, ratio=0.6), route=CHROMIUM).steps
        assert step.min_thickness_um is None
        assert step.thickness_ratio is None
        assert not any("ratio" in warning for warning in step.warnings)

    def test_a_time_too_short_for_the_thickness_is_said(self) -> None:
        """10 s give far less than 0.3 µm (the sum above)."""
        route = changed(CHROMIUM, 'dwell = { min = "4 min", max = "5 min" }', 'dwell = "10 s"')
        (step,) = planned(route=route).steps
        assert any("0.3 µm are asked" in warning for warning in step.warnings)


class TestMeter:
    """How sure the mean is, from the ammeter alone."""

    def test_uncertainty_of_reading_goes_through(self) -> None:
        """Thickness goes as current, so 2 % (k = 2) of the one is 2 % of the other (JCGM 100, 5.1.6)."""
        step = nickel()
        assert step.mean_thickness_um is not None
        assert step.mean_expanded_u_um == pytest.approx(0.02 * step.mean_thickness_um)

    def test_uncertainty_of_range_weighs_more_on_a_small_current(self) -> None:
        """1 % of 100 A is 1 A: of 40 A that is 2.5 %, of 20 A 5 % (JCGM 100, 5.1.6)."""
        shop = changed(SHOP, 'volume = "600 L"\nrectifier = "R1"', 'volume = "600 L"\nrectifier = "R2"')
        for area_dm2, share in ((10.0, 0.025), (5.0, 0.05)):
            step = nickel(Order(area_dm2, 1), shop=shop)
            assert step.mean_thickness_um is not None
            assert step.mean_expanded_u_um == pytest.approx(share * step.mean_thickness_um)

    def test_a_meter_without_a_figure_promises_none(self) -> None:
        """Nothing is made up."""
        assert nickel(shop=SHOP.replace('meter_uncertainty = "2 %"\n', "")).mean_expanded_u_um is None

    def test_a_current_under_a_tenth_of_the_range_is_warned_of(self) -> None:
        """Common practice: a meter is not read in its lowest tenth; 28 A of 300 A are, 40 A are not."""
        assert any("under a tenth" in warning for warning in nickel(Order(7.0, 1)).warnings)
        assert not any("under a tenth" in warning for warning in nickel().warnings)


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


class TestOtherSteps:
    """What has no deposit."""

    def test_a_window_gives_its_least_and_its_most(self) -> None:
        """3 to 8 min."""
        step = planned().step(1)
        assert (step.dwell_s, step.dwell_max_s, step.follows) == (180, 480, "clock")

    def test_volts_set_means_no_amps_planned(self) -> None:
        """A strip is run at 6 V, and takes what it takes."""
        step = planned().step(1)
        assert (step.voltage_v, step.current_a, step.charge_ah) == (6.0, None, None)

    def test_hand_work_has_no_figures(self) -> None:
        """A blast has no tank, no time, no current."""
        step = planned().step(4)
        assert step.follows == "hand"
        assert (step.tank, step.dwell_s, step.current_a, step.parts_dm2) == (None, None, None, None)

    def test_a_wheel_turns_as_its_rim_runs(self) -> None:
        """35 m/s round 10 in: 60 x 35 / (pi x 0.254) = 2632 turns a minute (geometry)."""
        assert planned().step(3).wheel_rpm == pytest.approx(2632, abs=1)

    def test_a_bake_keeps_its_time_and_heat_without_a_tank(self) -> None:
        """16 h at 190 to 220 °C."""
        step = planned().step(7)
        assert step.dwell_s == 16 * 3600
        assert (step.temperature_low_c, step.temperature_high_c) == (190, 220)

    def test_the_shops_limit_between_tanks_stands_where_the_step_says_none(self) -> None:
        """1 min for the soak; 45 s where the step says so; none for hand work."""
        plan = planned()
        assert [plan.step(n).next_within_s for n in (2, 5, 4)] == [60, 45, None]

    def test_what_can_hurt_follows_from_tank_and_step(self) -> None:
        """The solution's, the floor's and the step's own."""
        step = nickel()
        assert {"Slippery floor.", "Live rack."} <= set(step.hazards)
        assert {"goggles", "apron", "face shield"} <= set(step.ppe)
        assert len(step.hazards) > 2
        assert len(set(step.ppe)) == len(step.ppe)
        assert step.confirm

    def test_the_total_is_the_sum_of_the_tanks_times(self) -> None:
        """Hand work without a time adds nothing."""
        plan = planned()
        assert plan.total_s == pytest.approx(sum(step.dwell_s or 0 for step in plan.steps))


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
