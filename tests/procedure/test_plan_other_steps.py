"""What the plan says of steps without a deposit, and what every step brings with it."""

from __future__ import annotations

import pytest

from support.plans import nickel, planned


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
