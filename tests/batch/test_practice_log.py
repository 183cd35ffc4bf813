"""Which fault shows when, what a call is worth, and what the debrief says of it."""

from __future__ import annotations

import pytest

from runner.batch import intents as do
from runner.batch.practice_faults import KNOWN, LESSONS, Fault, Trouble
from runner.batch.practice_log import (
    Answered,
    Call,
    PracticeLog,
    Verdict,
    debrief,
    judge,
    missed,
    note_of,
    showing,
)
from runner.batch.terms import Where
from support.batches import Walker, later

COLD = Fault(1, 5.0, Trouble.COLD, "bath 40 °C")
LOG = PracticeLog(7, (COLD,))
RIGHT = LESSONS[Trouble.COLD].right


def in_dip() -> Walker:
    """A rack just put into the acid dip, the first step."""
    walker = Walker()
    walker.do(do.Enter())
    return walker


def test_a_fault_shows_from_its_moment_until_the_step_is_left() -> None:
    """Not before it, and not on the way to the next tank."""
    walker = in_dip()
    assert showing(LOG, walker.state, walker.now) is None
    walker.wait(5)
    assert showing(LOG, walker.state, walker.now) == COLD
    walker.do(do.Leave())
    assert showing(LOG, walker.state, walker.now) is None


def test_nothing_shows_while_the_rack_is_lifted_in_a_pause() -> None:
    """Nobody is asked to see what a paused step would show."""
    walker = in_dip()
    walker.wait(6)
    walker.do(do.Interrupt(Where.LIFTED))
    assert showing(LOG, walker.state, walker.now) is None


@pytest.mark.parametrize(
    ("said", "doing", "verdict"),
    [
        (Trouble.COLD, RIGHT, Verdict.RIGHT),
        (Trouble.COLD, LESSONS[Trouble.COLD].wrong[0], Verdict.WRONG_ACTION),
        (Trouble.BURNT, LESSONS[Trouble.BURNT].right, Verdict.WRONG_CAUSE),
    ],
)
def test_a_call_is_judged_by_what_shows(said: Trouble, doing: str, verdict: Verdict) -> None:
    """Cause first, then what is done; with the seconds that it took."""
    walker = in_dip()
    walker.wait(9)
    call = judge(LOG, walker.state, walker.now, said, doing)
    assert (call.verdict, call.fault, call.after_s) == (verdict, COLD, 4.0)


def test_a_call_before_anything_shows_is_false() -> None:
    """Even where it names what would come."""
    walker = in_dip()
    call = judge(LOG, walker.state, walker.now, Trouble.COLD, RIGHT)
    assert (call.verdict, call.fault) == (Verdict.FALSE, None)


def test_after_a_right_call_it_shows_no_more_and_is_not_missed() -> None:
    """It has been put right."""
    walker = in_dip()
    walker.wait(9)
    log = LOG.with_call(judge(LOG, walker.state, walker.now, Trouble.COLD, RIGHT))
    assert showing(log, walker.state, walker.now) is None
    walker.do(do.Leave())
    assert list(missed(log, walker.state)) == []


def test_a_fault_is_missed_once_and_only_where_it_showed() -> None:
    """A rack that left before it saw nothing of it; one that left with it missed it."""
    early, late = in_dip(), in_dip()
    early.do(do.Leave())
    assert list(missed(LOG, early.state)) == []
    late.wait(20)
    late.do(do.Leave())
    (call,) = missed(LOG, late.state)
    assert (call.verdict, call.after_s) == (Verdict.MISSED, 15.0)
    assert list(missed(LOG.with_call(call), late.state)) == []


def test_the_debrief_says_what_was_missed_and_why_it_matters() -> None:
    """With the remedy, and how the lesson is known."""
    walker = in_dip()
    walker.wait(20)
    walker.do(do.Leave())
    (call,) = missed(LOG, walker.state)
    told = "\n".join(debrief(LOG.with_call(call), walker.state, walker.now))
    for words in ("seed 7", "1 of 1 faults came, 0 dealt with rightly", "▲ missed", RIGHT, KNOWN):
        assert words in told
    assert LESSONS[Trouble.COLD].matters in told


def test_the_debrief_of_a_walk_without_faults_stands_too() -> None:
    """A wrong answer is told with the right one and its reason."""
    answer = Answered(1, "What first?", "current", "fan", "The mist harms.")
    walker = Walker()
    told = "\n".join(debrief(PracticeLog(0, ()).with_answer(answer), walker.state, walker.now))
    assert "0 of 0 faults came" in told
    assert "▲ wrong: current" in told
    assert "It is: fan." in told


def test_a_walk_that_is_left_tells_what_showed_and_what_never_came() -> None:
    """The two are told apart, by the moment at which it was left."""
    walker = in_dip()
    assert any("did not come" in line for line in debrief(LOG, walker.state, walker.now))
    told = "\n".join(debrief(LOG, walker.state, later(walker.now, 6)))
    assert "1 of 1 faults came" in told
    assert "it showed and was not called yet" in told
    assert RIGHT in told


@pytest.mark.parametrize("trouble", Trouble)
def test_every_note_says_that_it_is_practice(trouble: Trouble) -> None:
    """Whoever reads the journal later knows what the remark was."""
    fault = Fault(1, 1.0, trouble, "seen")
    for verdict in Verdict:
        assert note_of(Call(1, fault, verdict)).startswith("practice: ")
        assert note_of(Call(1, fault, verdict, 1.0, trouble, "this")).startswith("practice: called ")


@pytest.mark.parametrize("trouble", Trouble)
def test_every_lesson_has_one_right_and_two_wrong_answers(trouble: Trouble) -> None:
    """All different, and one or two sentences why."""
    lesson = LESSONS[trouble]
    assert len({lesson.right, *lesson.wrong}) == 3
    assert 1 <= lesson.matters.count(". ") + lesson.matters.endswith(".") <= 2


def test_time_is_handed_in() -> None:
    """The same log and state give another answer only at another moment."""
    walker = in_dip()
    assert showing(LOG, walker.state, later(walker.now, 5)) == COLD
    assert showing(LOG, walker.state, walker.now) is None
