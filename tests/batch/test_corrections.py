"""Entries put right: both figures stay, and what follows from the wrong one follows from the right one."""

from __future__ import annotations

import pytest

from runner.batch import events as ev
from runner.batch import intents as do
from runner.batch.decide import Refused
from runner.batch.state import Answer, Reading
from runner.batch.terms import Departure
from runner.batch.transitions import objection
from support.batches import Walker


def answers(walker: Walker) -> list[Answer]:
    """Every answer so far."""
    return [answer for run in walker.state.runs for answer in run.answers]


def readings(walker: Walker) -> list[Reading]:
    """Every meter reading so far."""
    return [reading for run in walker.state.runs for reading in run.readings]


def line_of(walker: Walker, kind: str) -> int:
    """Line of the last event of a kind, counted as the journal counts."""
    kinds = [event.kind for event, _ in walker.events]
    return len(kinds) - kinds[::-1].index(kind)


def test_an_answer_names_the_line_that_gave_it() -> None:
    """Lines are counted as the journal counts them, from the opening."""
    walker = Walker().to_nickel()
    walker.do(do.AnswerValue(2, 0, 40.0))
    assert answers(walker)[-1].line == line_of(walker, "value-given")
    assert readings(walker)[-1].line == line_of(walker, "current-read")


def test_a_mistyped_ammeter_moves_the_charge_back() -> None:
    """355 A typed for 35.5 A: put right, the charge counts 35.5 A from the entry, and both figures stay."""
    walker = Walker().to_nickel()
    walker.wait(600).do(do.AnswerValue(2, 0, 355.0))
    assert walker.departures() == [Departure.OUTSIDE]
    line = answers(walker)[-1].line
    assert walker.do(do.Correct(line, "a point left out", 35.5)) == ["entry-corrected", "entry-corrected"]
    reading, answer = readings(walker)[-1], answers(walker)[-1]
    assert (reading.amps, answer.value) == (35.5, 35.5)
    assert (reading.was[0].was, answer.was[0].was) == ("355 A", "355")
    assert answer.was[0].reason == "a point left out"
    assert walker.departures() == [Departure.OUTSIDE]


def test_a_right_figure_that_still_departs_raises_its_own_deviation() -> None:
    """10 A is put right to 12 A: still under the window, so that too is written down."""
    walker = Walker().to_nickel()
    walker.wait(60).do(do.AnswerValue(2, 0, 10.0))
    walker.do(do.Correct(answers(walker)[-1].line, "misread", 12.0))
    assert walker.departures() == [Departure.OUTSIDE] * 2


def test_a_choice_is_put_right_by_a_choice() -> None:
    """The look after the dip: broken was pressed for none."""
    walker = Walker()
    walker.do(do.Enter())
    walker.wait(30).do(do.Leave())
    walker.do(do.AnswerChoice(1, 0, "broken"))
    walker.do(do.Correct(answers(walker)[-1].line, "wrong key", choice="none"))
    assert answers(walker)[-1].choice == "none"
    assert answers(walker)[-1].was[0].was == "broken"


@pytest.mark.parametrize(
    "intent",
    [
        do.Correct(1, "the opening", 1.0),
        do.Correct(999, "no such line", 1.0),
        do.Correct(-1, "no such line", 1.0),
    ],
)
def test_only_entries_are_put_right(intent: do.Correct) -> None:
    """A line that gave no value and read no meter is not corrected, it is answered by another line."""
    walker = Walker().to_nickel()
    with pytest.raises(Refused):
        walker.do(intent)


@pytest.mark.parametrize(
    ("value", "choice", "reason"),
    [(None, None, "x"), (None, "none", "x"), (float("nan"), None, "x"), (1e12, None, "x"), (40.0, None, " ")],
)
def test_a_figure_is_put_right_by_a_figure_with_a_reason(
    value: float | None, choice: str | None, reason: str
) -> None:
    """Nothing, a word, no number, a number no meter shows, or no reason: refused."""
    walker = Walker().to_nickel()
    walker.do(do.AnswerValue(2, 0, 40.0))
    with pytest.raises(Refused):
        walker.do(do.Correct(answers(walker)[-1].line, reason, value, choice))


def test_a_choice_is_not_put_right_by_what_was_never_offered() -> None:
    """Neither a figure nor a word that the check does not list."""
    walker = Walker().to_nickel()
    line = next(one.line for one in answers(walker) if one.choice)
    for value, choice in ((1.0, None), (None, "splendid"), (1.0, "none")):
        with pytest.raises(Refused):
            walker.do(do.Correct(line, "x", value, choice))


def test_a_forged_correction_of_another_step_is_objected_to() -> None:
    """The step that it names must be the step of the entry."""
    walker = Walker().to_nickel()
    walker.do(do.AnswerValue(2, 0, 40.0))
    line = answers(walker)[-1].line
    assert objection(walker.state, ev.EntryCorrected(1, line, "x", 41.0)) is not None
    assert objection(walker.state, ev.EntryCorrected(2, line, "x", 41.0)) is None


def test_an_entry_may_be_put_right_twice() -> None:
    """Each time what stood there stays, in order."""
    walker = Walker().to_nickel()
    walker.do(do.AnswerValue(2, 0, 40.0))
    line = answers(walker)[-1].line
    walker.do(do.Correct(line, "first", 41.0))
    walker.do(do.Correct(line, "second", 42.0))
    assert [one.was for one in answers(walker)[-1].was] == ["40", "41"]
    assert readings(walker)[-1].amps == 42.0
