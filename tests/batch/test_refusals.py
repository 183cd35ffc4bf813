"""What is refused: a release before its time, and words or figures that could not stand in a record."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from runner.batch import intents as do
from runner.batch.intents import Intent
from runner.batch.terms import Departure
from runner.procedure.sheet import PlannedStep
from support.batches import STEPS, Walker
from support.racks import dip, dipped, nickel


def test_a_release_waits_for_reason_and_settlement_in_that_order() -> None:
    """A deviation is explained, then settled, each once; only then is the batch released."""
    walker = nickel(900)
    walker.do(do.Leave())
    for wait_s in (10, 240, 10):
        walker.wait(wait_s).do(do.Leave() if walker.state.inside else do.Enter())
    walker.do(do.Sign())
    walker.do(do.Leave())
    assert walker.departures() == [Departure.EARLY]
    assert walker.refusal(do.Release(4)) == "release waits: deviation 1 is not settled"
    assert walker.refusal(do.Settle(1, "reworked")) == "its reason comes first"
    assert walker.action() == "explain"
    walker.do(do.Explain(1, "rectifier tripped"))
    assert walker.refusal(do.Explain(1, "another reason")) == "it has its reason already"
    assert walker.refusal(do.Release(4)) == "release waits: deviation 1 is not settled"
    assert walker.action() == "settle"
    walker.do(do.Settle(1, "reworked"))
    assert walker.refusal(do.Settle(1, "accepted as it is")) == "it is settled already"
    assert walker.action() == "release"
    walker.do(do.Release(4))
    (deviation,) = walker.state.deviations
    assert (deviation.reason, deviation.disposition) == ("rectifier tripped", "reworked")
    assert deviation.settled_by == walker.by


@pytest.mark.parametrize("number", [-1, 0, 1, 2])
def test_only_a_deviation_that_was_raised_is_explained_or_settled(number: int) -> None:
    """Numbers count from 1, and there are none in good order."""
    assert nickel().refusal(do.Explain(number, "why")) == f"there is no deviation {number}"
    assert nickel().refusal(do.Settle(number, "reworked")) == f"there is no deviation {number}"


def test_a_release_waits_for_the_look_at_the_lift() -> None:
    """A look that was asked for and not given keeps the batch from its release until it is given."""
    walker = Walker().to_end()
    assert walker.action() == "release"
    walker = Walker(steps=(STEPS[0],))
    walker.do(do.Enter())
    walker.wait(30).do(do.Leave())
    assert walker.refusal(do.Release(4)) == "release waits: step 1: 'Water break' is not answered"
    walker.do(do.AnswerChoice(1, 0, "none"))
    walker.do(do.Release(4))


@pytest.mark.parametrize("figure", [math.nan, math.inf, -math.inf, 1e10, 1e308, -1.0])
def test_what_no_meter_shows_is_no_fact(figure: float) -> None:
    """No figure, one beyond any meter or one below zero is sent back to be typed as the meter shows it."""
    for intent in (do.ReadCurrent(figure), do.ReadCharge(figure), do.AnswerValue(2, 0, figure)):
        nickel().refusal(intent)
    if figure != -1.0:
        assert "the area in the tank" in nickel().refusal(do.ReadCurrent(40, in_tank_dm2=figure))
        assert "pH" in dip().refusal(do.AnswerValue(2, 1, figure))


@pytest.mark.parametrize("text", ["", "  ", "x" * 501, "bell\x07", "\x1b[2J", "\u202eback"])
def test_a_text_that_cannot_stand_in_a_record_is_sent_back(text: str) -> None:
    """Empty, over-long or with a control character: the words are asked for again, everywhere."""
    intents: list[Intent] = [
        do.WriteNote(text),
        do.Report(text),
        do.Explain(1, text),
        do.Redo(1, text),
        do.Abandon(text),
    ]
    walker = dipped()
    walker.do(do.Report("a scratch"))
    for intent in intents:
        walker.refusal(intent)


AMMETER = replace(STEPS[1].checks[0], low=38.0, high=42.0)
NO_CURRENT = replace(STEPS[0], checks=(AMMETER,))
NO_AREA = replace(STEPS[1], number=1, energised_dm2=None, checks=(AMMETER,))


@pytest.mark.parametrize("intent", [do.ReadCurrent(40), do.ReadCharge(5)])
def test_no_current_is_read_where_none_is_on(intent: Intent) -> None:
    """Neither before the first step, nor in a dip, nor just out of one; the remedy names a way."""
    assert Walker().refusal(intent) == "no step has been entered yet"
    assert "no current is on" in dip().refusal(intent)
    assert "no current is on" in dipped().refusal(intent)


@pytest.mark.parametrize("step", [NO_CURRENT, NO_AREA], ids=["no current", "no area"])
def test_an_ammeter_asked_for_where_none_counts_is_answered_all_the_same(step: PlannedStep) -> None:
    """A check of the current in a step without current, or without a known area, takes its answer."""
    walker = Walker(steps=(step,))
    walker.do(do.Enter())
    assert walker.do(do.AnswerValue(1, 0, 40.0))[-1] == "value-given"
    walker.do(do.AnswerValue(1, 0, 37.0))
    assert walker.departures()[-1:] == [Departure.OUTSIDE]
