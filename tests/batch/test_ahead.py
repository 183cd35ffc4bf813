"""The forecast of a line with several racks, against figures worked out by hand."""

from __future__ import annotations

from msgspec.structs import replace

from runner.batch import intents as do
from runner.batch.ahead import TRANSFER_S, Stay, clashes, forecast
from runner.batch.state import BatchState
from runner.procedure.sheet import PlannedStep
from support.batches import START, Walker, later


def tank(number: int, name: str, dwell_s: float, **more: object) -> PlannedStep:
    """A step in a tank of that name."""
    fields = {"tank": name, "tank_title": name.title(), "dwell_s": dwell_s, **more}
    return PlannedStep(number, name, "other", "clock", **fields)  # type: ignore[arg-type]  # each caller names real fields


def rack(*steps: PlannedStep, entered_s: float = 0.0) -> Walker:
    """A rack that went into its first tank so long ago."""
    walker = Walker(now=later(START, -entered_s), steps=steps)
    walker.do(do.Enter())
    walker.now = START
    return walker


def ahead(racks: dict[str, BatchState]) -> dict[str, tuple[Stay, ...]]:
    """The forecast of each."""
    return {batch: forecast(state, batch, START) for batch, state in racks.items()}


def test_a_rack_is_followed_from_tank_to_tank() -> None:
    """600 s in the first tank, of which 100 s have gone, then a transfer, then 30 s, then 200 s."""
    walker = rack(tank(1, "copper", 600), tank(2, "rinse", 30), tank(3, "nickel", 200), entered_s=100)
    stays = forecast(walker.state, "a", START)
    assert [stay.begin_s for stay in stays] == [0, 500 + TRANSFER_S, 530 + 2 * TRANSFER_S]
    assert [stay.lift_s for stay in stays] == [500, 530 + TRANSFER_S, 730 + 2 * TRANSFER_S]


def test_hand_work_ends_the_forecast() -> None:
    """Nobody can say when polishing will be done."""
    by_hand = PlannedStep(2, "Mop", "polish", "hand")
    walker = rack(tank(1, "copper", 600), by_hand, tank(3, "nickel", 200))
    assert len(forecast(walker.state, "a", START)) == 1


def test_one_rack_clashes_with_nothing() -> None:
    """There is nobody to clash with."""
    assert clashes(ahead({"a": rack(tank(1, "copper", 600)).state})) == ()


def test_two_lifts_at_once_are_told_ahead() -> None:
    """Both want to be lifted in ten minutes, and neither can wait half a minute."""
    a = rack(tank(1, "copper", 600, dwell_max_s=605.0))
    b = rack(tank(1, "nickel", 605, dwell_max_s=612.0))
    (clash,) = clashes(ahead({"a": a.state, "b": b.state}))
    assert clash.in_s == 600
    assert "lift within 30 s" in clash.words


def test_of_two_lifts_together_the_one_that_can_wait_is_told() -> None:
    """The nickel may stay 95 s longer and the copper 5 s: copper first."""
    a = rack(tank(1, "copper", 600, dwell_max_s=605.0))
    b = rack(tank(1, "nickel", 605, dwell_max_s=700.0))
    (clash,) = clashes(ahead({"a": a.state, "b": b.state}))
    assert (clash.in_s, clash.can_wait) == (600, True)
    assert clash.words == "a and b are due together: b can wait 1:35"


def test_where_both_can_wait_the_one_with_more_time_does() -> None:
    """100 s of slack against 300 s, whichever is due first."""
    a = rack(tank(1, "copper", 600, dwell_max_s=900.0))
    b = rack(tank(1, "nickel", 610, dwell_max_s=710.0))
    (clash,) = clashes(ahead({"a": a.state, "b": b.state}))
    assert clash.words.endswith("together: a can wait 5:00")


def test_lifts_with_slack_and_a_transfer_between_them_are_no_clash() -> None:
    """16 s apart one pair of hands does both, where carrying over takes 15 s."""
    a = rack(tank(1, "copper", 600, dwell_max_s=700.0))
    b = rack(tank(1, "nickel", 600 + TRANSFER_S + 1, dwell_max_s=700.0))
    assert clashes(ahead({"a": a.state, "b": b.state})) == ()


def test_two_short_dips_with_slack_are_no_clash() -> None:
    """Hands stand by both all the while; a list of all rinses would be read by nobody."""
    a, b = (rack(tank(1, name, 40, dwell_max_s=100.0)) for name in ("dip", "rinse"))
    assert clashes(ahead({"a": a.state, "b": b.state})) == ()


def test_lifts_with_slack_do_not_hide_what_goes_wrong_later() -> None:
    """Both are told: which can wait in ten minutes, and the rectifier that both want after that."""
    power = {"rectifier": "R1", "current_a": 50.0}
    a = rack(tank(1, "copper", 600, dwell_max_s=900.0), tank(2, "bronze", 600, **power))
    b = rack(tank(1, "dip", 605, dwell_max_s=900.0), tank(2, "nickel", 600, **power))
    told = clashes(ahead({"a": a.state, "b": b.state}))
    assert [clash.can_wait for clash in told] == [True, False]
    assert "rectifier R1" in told[1].words


def test_acid_and_cyanide_with_slack_are_told_apart_too() -> None:
    """Which goes first is no leave to carry both."""
    a = rack(tank(1, "dip", 600, dwell_max_s=900.0, solution="sulfuric-dip"))
    b = rack(tank(1, "strike", 600, dwell_max_s=650.0, solution="cyanide-copper"))
    (clash,) = clashes(ahead({"a": a.state, "b": b.state}))
    assert "a can wait 5:00: acid and cyanide, one after the other" in clash.words


def test_a_rack_that_has_overstayed_already_is_not_ahead() -> None:
    """Past its latest lift it has an alarm; a warning of it would come after the fact."""
    a = rack(tank(1, "copper", 100, dwell_max_s=105.0), entered_s=110)
    b = rack(tank(1, "pickle", 45, dwell_max_s=50.0))
    assert clashes(ahead({"a": a.state, "b": b.state})) == ()


def test_acid_and_cyanide_never_travel_at_once() -> None:
    """The words say one after the other, never both."""
    a = rack(tank(1, "dip", 600, dwell_max_s=601.0, solution="sulfuric-dip"))
    b = rack(tank(1, "strike", 600, dwell_max_s=601.0, solution="cyanide-copper"))
    (clash,) = clashes(ahead({"a": a.state, "b": b.state}))
    assert "acid and cyanide, one after the other" in clash.words


def test_one_rectifier_cannot_feed_two_tanks_at_once() -> None:
    """Each tank alone is within its range."""
    power = {"rectifier": "R1", "current_a": 50.0, "rectifier_max_a": 300.0}
    a = rack(tank(1, "copper", 600, **power))
    b = rack(tank(1, "rinse", 100), tank(2, "nickel", 600, **power))
    (clash,) = clashes(ahead({"a": a.state, "b": b.state}))
    assert "rectifier R1 for two tanks" in clash.words
    assert clash.in_s == 100 + TRANSFER_S


def test_two_racks_in_one_tank_share_its_rectifier_up_to_its_limit() -> None:
    """Twice 100 A of 300 A is no clash, twice 200 A is."""
    for amps, told in ((100.0, 0), (200.0, 1)):
        power = {"rectifier": "R1", "current_a": amps, "rectifier_max_a": 300.0}
        a, b = rack(tank(1, "nickel", 600, **power)), rack(tank(1, "nickel", 900, **power))
        assert len(clashes(ahead({"a": a.state, "b": b.state}))) == told


def test_a_tank_takes_so_much_at_once() -> None:
    """20 and 20 dm² in a tank for 30."""
    size = {"parts_dm2": 20.0, "tank_max_dm2": 30.0}
    a, b = rack(tank(1, "dip", 600, **size)), rack(tank(1, "dip", 900, **size))
    (clash,) = clashes(ahead({"a": a.state, "b": b.state}))
    assert "more than Dip takes at once" in clash.words


def test_a_rack_that_overstays_while_hands_are_busy_is_told() -> None:
    """The copper must be out between 100 s and 105 s; the other rack is in its pickle from 95 s to 140 s."""
    a = rack(tank(1, "copper", 100, dwell_max_s=105.0))
    b = rack(tank(1, "soak", 80, dwell_max_s=200.0), tank(2, "pickle", 45, dwell_max_s=50.0))
    (clash,) = clashes(ahead({"a": a.state, "b": b.state}))
    assert clash.words.startswith("a overstays in Copper while b is in Pickle")


def test_what_lies_beyond_the_hour_is_not_told() -> None:
    """A clash two hours ahead helps nobody now."""
    a = rack(tank(1, "copper", 7200, dwell_max_s=7201.0))
    b = rack(tank(1, "nickel", 7200, dwell_max_s=7201.0))
    assert clashes(ahead({"a": a.state, "b": b.state})) == ()
    assert len(clashes(ahead({"a": a.state, "b": b.state}), within_s=8000)) == 1


def test_an_ended_batch_has_no_forecast() -> None:
    """Nor has one that waits for its first step."""
    assert forecast(Walker().state, "a", START) == ()
    assert forecast(replace(rack(tank(1, "dip", 10)).state, runs=()), "a", START) == ()
