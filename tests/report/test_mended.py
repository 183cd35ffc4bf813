"""A deviation that a wrong entry raised, and the correction beside it on paper."""

from __future__ import annotations

from pathlib import Path

from runner.batch import intents as do
from runner.batch.terms import Departure
from runner.record.report.departures import deviations
from runner.record.report.figures import Figures
from support.batches import Walker
from support.pages import Printed
from support.records import record_of


def told(walker: Walker) -> list[tuple[str, str]]:
    """What each deviation was, and what is said of its entry."""
    views = deviations(walker.state, Figures("SI"), {})
    return [(one.detail, one.mended) for one in views]


def in_dip() -> Walker:
    """The rack out of the acid dip in its time, its water break not looked at yet."""
    walker = Walker()
    walker.do(do.Enter())
    walker.wait(40).do(do.Leave())
    return walker


def correct(walker: Walker, right: str | float, reason: str) -> None:
    """Put the first entry of the latest run right, a while later."""
    (entry, *_) = walker.state.runs[-1].answers
    value, choice = (None, right) if isinstance(right, str) else (right, None)
    walker.wait(7).do(do.Correct(entry.line, reason, value, choice))


def test_a_state_that_was_put_right_says_so_beside_its_deviation() -> None:
    """What stood there stays: the record holds both."""
    walker = in_dip()
    walker.do(do.AnswerChoice(1, 0, "broken"))
    assert told(walker) == [("Water break: broken", "")]
    correct(walker, "none", "pressed the wrong key")
    assert told(walker) == [
        ("Water break: broken", "The entry was corrected to none (pressed the wrong key)")
    ]


def test_a_figure_that_was_put_right_twice_tells_both() -> None:
    """The first correction was outside too: each deviation tells what came after its own figure."""
    walker = in_dip()
    walker.do(do.AnswerChoice(1, 0, "none"))
    walker.do(do.AnswerValue(2, 1, 44.0))
    walker.do(do.Confirm(2))
    walker.wait(5).do(do.Enter())
    correct(walker, 4.6, "no point")
    correct(walker, 4.2, "misread")
    outside = [row for row in told(walker) if row[0].startswith("pH")]
    assert outside == [
        ("pH: 44 pH, over 4.4 pH", "The entry was corrected to 4.6 pH (no point), then to 4.2 pH (misread)"),
        ("pH: 4.6 pH, over 4.4 pH", "The entry was corrected to 4.2 pH (misread)"),
    ]


def test_a_deviation_beside_a_corrected_entry_is_not_told_as_corrected() -> None:
    """A rack that was in too long stays that, whatever else was mistyped in the same step."""
    walker = Walker()
    walker.do(do.Enter())
    walker.wait(90).do(do.Leave())
    walker.do(do.AnswerChoice(1, 0, "broken"))
    correct(walker, "none", "pressed the wrong key")
    assert [bool(said) for _, said in told(walker)] == [False, True]
    assert walker.state.deviations[0].what == Departure.LATE


def test_the_report_says_it_too_and_the_record_is_as_it_was(messy: Path, printed: Printed) -> None:
    """0.8 A, put right to 7.5 A: the sentence stands on the paper alone."""
    page = printed(messy)
    assert "The entry was corrected to 7.5 A (misread the dial) raised" in page.text
    (one,) = [one for one in record_of(messy)["deviation"] if one["detail"].startswith("0.8 A")]
    assert "corrected" not in one["detail"]
