"""A timer that follows the charge: the lift-out moves with what the meters showed.

The nickel tank of these tests is planned at 40 A on 10 dm² for 30 min; figures are reckoned by hand.
"""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from runner.batch import intents as do
from runner.procedure.sheet import PlannedStep
from support.batches import STEPS, Walker

TARGET_UM = 12.292 * 0.955 * 2  # 2 A·h/dm² at 95.5 %


def in_nickel(*readings: tuple[float, float]) -> Walker:
    """A rack in the nickel tank, with the ammeter read at so many seconds after entry."""
    walker, at_s = Walker().to_nickel(), 0.0
    for read_s, amps in readings:
        walker.wait(read_s - at_s).do(do.ReadCurrent(amps))
        at_s = read_s
    return walker


def test_until_a_reading_the_planned_current_counts() -> None:
    """Halfway through an unread step half the charge and half the deposit are counted."""
    done = in_nickel().wait(900).progress()
    assert done.charge_ah == pytest.approx(10)
    assert done.mean_um == pytest.approx(TARGET_UM / 2)
    assert done.min_um == pytest.approx(TARGET_UM / 2 * 0.6)
    assert done.left_s == pytest.approx(900)
    assert done.density_a_dm2 == 4
    assert not done.due


def test_a_reading_of_half_the_current_stretches_the_lift_out() -> None:
    """20 A seen after 10 min of 40 A planned: 3⅓ of 20 A·h are on, and 16⅔ at 20 A take 50 min more."""
    done = in_nickel((600, 20)).progress()
    assert done.charge_ah == pytest.approx(20 * 600 / 3600)
    assert done.left_s == pytest.approx(3000)
    assert done.must_s == pytest.approx(3000 + 0.1 * 1800)
    assert done.mean_um == pytest.approx(TARGET_UM / 6)


def test_the_first_reading_holds_back_to_current_on() -> None:
    """Nobody saw another current before the first reading, so it counts from entry on."""
    assert in_nickel((900, 60)).progress().charge_ah == pytest.approx(15)


def test_between_two_readings_the_current_runs_straight() -> None:
    """40 A falling to 20 A over 10 min is 30 A on average: 5 A·h."""
    walker = in_nickel((0, 40), (600, 20))
    assert walker.progress().charge_ah == pytest.approx(5)
    assert walker.wait(180).progress().charge_ah == pytest.approx(6)


def test_a_linearly_rising_current_is_integrated_exactly() -> None:
    """12 + 0.2 t A over 20 min is 280 A·min; at 15 % it lays 63 mm³, 5.04 µm, on 125 cm².

    Exam question after Groover, Fundamentals of Modern Manufacturing, ch. 28 (plating constant of chromium
    2.50e-2 mm³/(A·s)); printed answers 63 mm³ and 5.0 µm.
    """
    chromium = replace(
        STEPS[1],
        number=1,
        current_a=12.0,
        energised_dm2=1.25,
        density_low_a_dm2=8.0,
        density_high_a_dm2=16.0,
        um_per_ah_dm2=2.50e-2 * 3600 / 10,  # mm³ on 1 dm² are 0.1 µm
        efficiency=((10.0, 0.15),),
        confirm=(),
        checks=(),
    )
    walker = Walker(steps=(chromium,))
    walker.do(do.Enter())
    for minutes in (0, 7, 5, 8):
        walker.wait(60 * minutes)
        elapsed_min = walker.progress().elapsed_s / 60
        walker.do(do.ReadCurrent(12 + 0.2 * elapsed_min))
    done = walker.progress()
    assert done.charge_ah == pytest.approx(280 / 60)
    assert done.mean_um == pytest.approx(5.04)
    assert done.mean_um == pytest.approx(63.0 / (1.25 * 10))
    assert walker.departures() == []


def test_an_efficiency_that_varies_is_followed_along_a_stretch() -> None:
    """Efficiency 10 % at 8 A/dm² and 20 % at 16: over a straight rise the mean rate is 56/30 A/dm², not 2.

    Rate is 0.0125 j² there, and the mean of j² from 8 to 16 is (16³ - 8³)/(3·8) = 149⅓.
    """
    step = replace(
        STEPS[1],
        number=1,
        density_low_a_dm2=8.0,
        density_high_a_dm2=16.0,
        um_per_ah_dm2=1.0,
        efficiency=((8.0, 0.1), (16.0, 0.2)),
    )
    walker = Walker(steps=(step,))
    walker.do(do.Enter())
    walker.do(do.ReadCurrent(80))
    walker.wait(3600).do(do.ReadCurrent(160))
    assert walker.progress().mean_um == pytest.approx(0.0125 * (16**3 - 8**3) / 24)


@pytest.mark.parametrize("amps", [0.0, 1.0, 10.0, 19.9])
def test_below_the_window_the_lift_out_goes_by_its_edge(amps: float) -> None:
    """However little the meter shows, 4 A/dm² for 30 min stretches to no more than 2 A/dm² for 60 min."""
    walker = in_nickel((0, amps))
    assert walker.progress().left_s == pytest.approx(3600)
    assert walker.wait(1800).progress().left_s == pytest.approx(1800)
    done = walker.wait(1800).progress()
    assert done.due
    assert done.mean_um == pytest.approx(TARGET_UM * amps / 20), "what is on the part is told as it is"
    assert done.charge_ah == pytest.approx(amps)


def test_above_the_window_the_lift_out_goes_by_its_edge() -> None:
    """80 A is 8 A/dm², over 6: the dwell shrinks to 20 min, not to 15."""
    walker = in_nickel((0, 80))
    assert walker.progress().left_s == pytest.approx(1200)
    assert walker.wait(600).progress().left_s == pytest.approx(600)
    assert walker.progress().mean_um == pytest.approx(TARGET_UM * 2 / 3)


def test_a_count_overrides_the_ammeter() -> None:
    """5 A·h counted in 10 min at 40 A on the meter: 5 count, and 15 more at 30 A take 30 min."""
    walker = in_nickel((0, 40), (300, 40)).wait(300)
    walker.do(do.ReadCharge(5))
    done = walker.progress()
    assert done.charge_ah == pytest.approx(5)
    assert done.density_a_dm2 == pytest.approx(3)
    assert done.left_s == pytest.approx(1800)


def test_after_a_count_the_ammeter_goes_on() -> None:
    """A reading of 20 A five minutes after a count of 5 A·h holds back to the count: 1⅔ A·h more."""
    walker = in_nickel().wait(600)
    walker.do(do.ReadCharge(5))
    walker.wait(300).do(do.ReadCurrent(20))
    assert walker.progress().charge_ah == pytest.approx(5 + 20 * 300 / 3600)


def test_between_counts_only_what_was_counted_counts() -> None:
    """Counts of 4 and 9 A·h come to 9, and the last stretch's 30 A hold on."""
    walker = in_nickel().wait(600)
    walker.do(do.ReadCharge(4))
    walker.wait(600).do(do.ReadCharge(9))
    assert walker.progress().charge_ah == pytest.approx(9)
    assert walker.wait(120).progress().charge_ah == pytest.approx(10)


def test_a_count_that_fell_leaves_its_time_to_the_ammeter() -> None:
    """A counter set back to 0 does not undo 6 A·h, nor make ten minutes at 40 A worth nothing."""
    walker = in_nickel().wait(600)
    walker.do(do.ReadCharge(6))
    walker.wait(300).do(do.ReadCurrent(40))
    walker.wait(300).do(do.ReadCharge(0))
    assert walker.progress().charge_ah == pytest.approx(6 + 40 * 600 / 3600)
    walker.wait(360).do(do.ReadCharge(3))
    assert walker.progress().charge_ah == pytest.approx(6 + 40 * 600 / 3600 + 3)


def test_another_rack_in_the_tank_takes_its_share() -> None:
    """80 A and 40 A·h for 20 dm² in the tank are 40 A and 20 A·h for this rack's 10 dm²."""
    walker = Walker().to_nickel()
    walker.do(do.ReadCurrent(80, in_tank_dm2=20))
    assert walker.progress().density_a_dm2 == 4
    walker.wait(1800)
    assert walker.progress().charge_ah == pytest.approx(20)
    assert walker.progress().due
    walker.do(do.ReadCharge(36, in_tank_dm2=20))
    assert walker.progress().charge_ah == pytest.approx(18)
    assert walker.progress().left_s == pytest.approx(200), "2 A·h more at 36 A"
    assert walker.departures() == []


def test_the_area_in_the_tank_is_never_less_than_this_rack_s() -> None:
    """An area of 1 dm² typed for a tank that holds this rack's 10 counts as 10."""
    walker = Walker().to_nickel()
    walker.do(do.ReadCurrent(40, in_tank_dm2=1))
    assert walker.progress().density_a_dm2 == 4


def test_the_ammeter_s_answer_is_its_reading() -> None:
    """A check that reads the ammeter moves the lift-out as a reading does."""
    walker = Walker().to_nickel().wait(600)
    assert walker.do(do.AnswerValue(2, 0, 20.0)) == ["current-read", "value-given"]
    assert walker.progress().left_s == pytest.approx(3000)


@pytest.mark.parametrize(
    ("step", "counted", "left"),
    [
        (replace(STEPS[1], number=1, um_per_ah_dm2=None), True, 1500),
        (replace(STEPS[1], number=1, current_a=None), False, 1500),
        (replace(STEPS[1], number=1, dwell_s=None), True, None),
    ],
    ids=["no deposit", "no current", "no dwell"],
)
def test_what_is_not_planned_is_not_invented(step: PlannedStep, left: float | None, *, counted: bool) -> None:
    """A step without a deposit goes by the clock, without a current has no charge, without a dwell no end."""
    walker = Walker(steps=(step,))
    walker.do(do.Enter())
    done = walker.wait(300).progress()
    assert (done.charge_ah is not None) is counted
    assert done.left_s == left
    assert (done.must_s is None) is (left is None)
