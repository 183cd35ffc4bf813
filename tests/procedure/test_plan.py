"""The plan's figures against sums worked by hand, each with the law or the table that it rests on."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.procedure.plan import Order
from support.plans import NICKEL_STEP, ONE, changed, nickel, planned
from support.shops import SHOP

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
