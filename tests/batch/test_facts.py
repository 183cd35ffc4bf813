"""Facts are taken as they are: what is wrong with one becomes a deviation beside it, never a refusal."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from msgspec.structs import replace

from runner.batch import events as ev
from runner.batch import intents as do
from runner.batch.decide import decide
from runner.batch.evolve import evolve
from runner.batch.intents import Intent
from runner.batch.terms import Departure, Where
from runner.batch.transitions import objection
from support.batches import STEPS, Walker
from support.racks import counted, dip, dipped, nickel, plated, unread, without


def windowed() -> Walker:
    """A nickel tank whose ammeter check has a window of its own, narrower than the deposit's."""
    checks = (replace(STEPS[1].checks[0], low=38.0, high=42.0), STEPS[1].checks[1])
    return Walker(steps=(STEPS[0], replace(STEPS[1], checks=checks))).to_nickel()


def windowed_and_lifted() -> Walker:
    """The same tank, its rack lifted out in time."""
    walker = windowed()
    walker.do(do.AnswerValue(2, 0, 40.0))
    walker.wait(1800).do(do.Leave())
    return walker


Case = tuple[Callable[[], Walker], Intent, Departure | str, int, str]

DEPARTED: dict[str, Case] = {
    "early lift": (
        lambda: nickel(900),
        do.Leave(),
        Departure.EARLY,
        2,
        "15 min before its time; mean about 11.7 µm of 23.5",
    ),
    "overstay by charge": (
        lambda: nickel(1986),
        do.Leave(),
        Departure.LATE,
        2,
        "6 s past its latest time; mean",
    ),
    "overstay by clock": (lambda: dip(66), do.Leave(), Departure.LATE, 1, "6 s past its latest time"),
    "early out of a dip": (lambda: dip(10), do.Leave(), Departure.EARLY, 1, "20 s before its time"),
    "low current": (
        nickel,
        do.ReadCurrent(10),
        Departure.OUTSIDE,
        2,
        "10 A on the meter is 1 A/dm², under 2 A/dm²",
    ),
    "high current": (
        nickel,
        do.ReadCurrent(61),
        Departure.OUTSIDE,
        2,
        "61 A on the meter is 6.1 A/dm², over 6 A/dm²",
    ),
    "low current for two racks": (
        nickel,
        do.ReadCurrent(39, 20),
        Departure.OUTSIDE,
        2,
        "39 A on the meter is 1.95 A/dm², under 2 A/dm²",
    ),
    "low current as an answer": (nickel, do.AnswerValue(2, 0, 10), Departure.OUTSIDE, 2, "1 A/dm²"),
    "current outside its check": (
        windowed,
        do.AnswerValue(2, 0, 37),
        Departure.OUTSIDE,
        2,
        "Rectifier current: 37 A, under 38 A",
    ),
    "current outside both": (windowed, do.AnswerValue(2, 0, 10), Departure.OUTSIDE, 2, "1 A/dm²"),
    "current outside its check, told late": (
        windowed_and_lifted,
        do.AnswerValue(2, 0, 10),
        Departure.OUTSIDE,
        2,
        "Rectifier current: 10 A, under 38 A",
    ),
    "low count": (
        lambda: counted(5, 600),
        do.ReadCharge(6),
        Departure.OUTSIDE,
        2,
        "6 A on the meter is 0.6 A/dm²",
    ),
    "no count in a minute": (
        lambda: counted(5, 60),
        do.ReadCharge(5),
        Departure.OUTSIDE,
        2,
        "0 A on the meter is 0 A/dm², under 2 A/dm²",
    ),
    "count that fell": (
        lambda: counted(6, 60),
        do.ReadCharge(2),
        Departure.COUNT_FELL,
        2,
        "2 A·h after 6 A·h",
    ),
    "value too high": (dip, do.AnswerValue(2, 1, 5.0), Departure.OUTSIDE, 2, "pH: 5 pH, over 4.4 pH"),
    "value too low": (dip, do.AnswerValue(2, 1, 3.0), Departure.OUTSIDE, 2, "pH: 3 pH, under 3.8 pH"),
    "not as it should look": (
        dipped,
        do.AnswerChoice(1, 0, "broken"),
        Departure.NOT_ACCEPTED,
        1,
        "Water break: broken",
    ),
    "slow transfer": (
        lambda: dipped(50),
        do.Enter(),
        Departure.TRANSFER,
        2,
        "50 s out after step 1, 45 s allowed",
    ),
    "current off too long": (
        lambda: plated(130),
        do.Enter(),
        Departure.CURRENT_OFF,
        3,
        "2 min 10 s without current since step 2",
    ),
    "cautions not confirmed": (
        lambda: without(caution=True),
        do.Enter(),
        Departure.NOT_CONFIRMED,
        2,
        "step 2 has cautions",
    ),
    "not asked before": (lambda: without(answer=True), do.Enter(), Departure.NOT_ANSWERED, 2, "'pH'"),
    "not asked in it": (unread, do.Leave(), Departure.NOT_ANSWERED, 2, "'Rectifier current'"),
    "current lost": (nickel, do.Interrupt(Where.IN_TANK), Departure.INTERRUPTED, 2, "passive"),
    "lifted from a dip": (dip, do.Interrupt(Where.LIFTED), Departure.INTERRUPTED, 1, "lifted"),
    "seen at the line": (nickel, do.Report("air is off"), "reported at the line", 2, "air is off"),
    "redone": (dipped, do.Redo(1, "not wetted"), Departure.REDONE, 1, "back to step 1: not wetted"),
}


@pytest.mark.parametrize("case", DEPARTED)
def test_each_departure_is_taken_and_raises_one_deviation(case: str) -> None:
    """The fact stands, and one deviation beside it says what, at which step, and in figures how far."""
    prepare, intent, what, step, detail = DEPARTED[case]
    walker = prepare()
    assert walker.departures() == []
    kinds = walker.do(intent)
    assert kinds[0] != "deviation-raised" or isinstance(intent, do.Report)
    assert kinds.count("deviation-raised") == 1
    (deviation,) = walker.state.deviations
    assert (deviation.number, deviation.step, deviation.what) == (1, step, what)
    assert detail in deviation.detail
    assert (deviation.who, deviation.raised) == (walker.by.id, walker.now)
    assert (deviation.reason, deviation.disposition) == (None, None)


IN_ORDER: dict[str, tuple[Callable[[], Walker], Intent]] = {
    "a hand's time early": (lambda: nickel(1796), do.Leave()),
    "just a hand's time early": (lambda: dip(25), do.Leave()),
    "a hand's time late": (lambda: nickel(1984), do.Leave()),
    "at the latest time of a dip": (lambda: dip(65), do.Leave()),
    "at the low edge": (nickel, do.ReadCurrent(20)),
    "at the high edge": (nickel, do.ReadCurrent(60)),
    "two racks' current": (nickel, do.ReadCurrent(80, 20)),
    "two racks' count": (lambda: nickel(900), do.ReadCharge(20, 20)),
    "a count after a moment": (lambda: counted(5, 59), do.ReadCharge(5)),
    "a value at its low edge": (dip, do.AnswerValue(2, 1, 3.8)),
    "a value at its high edge": (dip, do.AnswerValue(2, 1, 4.4)),
    "an accepted look": (dipped, do.AnswerChoice(1, 0, "none")),
    "a transfer just in time": (lambda: dipped(45), do.Enter()),
    "current back just in time": (lambda: plated(120), do.Enter()),
    "a dip held up in its tank": (dip, do.Interrupt(Where.IN_TANK)),
    "a note": (nickel, do.WriteNote("all well")),
}


@pytest.mark.parametrize("case", IN_ORDER)
def test_what_is_in_order_raises_nothing(case: str) -> None:
    """Edges of a window belong to it, and nothing is early or late by less than a hand's time."""
    prepare, intent = IN_ORDER[case]
    walker = prepare()
    walker.do(intent)
    assert walker.departures() == []


def test_each_fault_of_one_fact_has_its_own_deviation() -> None:
    """A rack that dried on the way to a tank nobody was asked about raises three, numbered on."""
    walker = without(answer=True, caution=True).wait(60)
    walker.do(do.Enter())
    assert walker.departures() == [Departure.TRANSFER, Departure.NOT_CONFIRMED, Departure.NOT_ANSWERED]
    assert [deviation.number for deviation in walker.state.deviations] == [1, 2, 3]


def test_a_deviation_torn_off_its_fact_comes_first() -> None:
    """After a crash between the two, nothing is taken before the deviation that the last fact owes."""
    walker = nickel(900)
    (fact, deviation) = decide(walker.state, do.Leave(), do.Stamp(walker.now, walker.by))
    torn = evolve(walker.state, fact, walker.now, walker.by.id)
    assert "its deviation comes first" in (objection(torn, ev.NoteWritten(2, "all well")) or "")
    assert objection(torn, ev.DeviationRaised(1, 2, "reported at the line", "another")) is not None
    assert objection(torn, ev.TailSetAside(3, "0" * 64, "AAAA")) is None
    assert objection(torn, deviation) is None
    walker.state = torn
    assert walker.do(do.Report("a scratch")) == ["deviation-raised", "deviation-raised"]
    assert walker.departures() == [Departure.EARLY, "reported at the line"]
    assert walker.state.owed == ()


def test_a_fact_that_owes_nothing_is_followed_by_anything() -> None:
    """A deviation may be raised by hand at any time; the plan's own follow their facts alone."""
    walker = nickel()
    assert objection(walker.state, ev.DeviationRaised(1, 2, "reported at the line", "a scratch")) is None
    assert objection(walker.state, ev.NoteWritten(2, "all well")) is None
