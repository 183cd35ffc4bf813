"""Which fault shows when, what a call is worth, and what the debrief says of it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

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
from runner.batch.state import Phase
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


def told(log: PracticeLog, walker: Walker, *, ended: bool = True) -> str:
    """The debrief of a walk that came to its end, or was left where it is."""
    state = replace(walker.state, phase=Phase.RELEASED) if ended else walker.state
    return "\n".join(debrief(log, state, walker.now))


def test_the_debrief_says_what_was_missed_and_why_it_matters() -> None:
    """With the remedy, and how the lesson is known; a fault that did not come is told too."""
    walker = in_dip()
    walker.wait(20)
    walker.do(do.Leave())
    (call,) = missed(LOG, walker.state)
    whole = told(LOG.with_call(call), walker)
    for words in ("seed 7", "1 of 1 fault came, 0 dealt with rightly", "▲ missed", RIGHT, KNOWN):
        assert words in whole
    assert LESSONS[Trouble.COLD].matters in whole
    assert "did not come" in told(LOG, walker)


def test_the_debrief_of_a_walk_without_faults_stands_too() -> None:
    """A wrong answer is told with the right one and its reason, under the step that it was asked before."""
    answer = Answered(1, "What first?", "current", "fan", "The mist harms.")
    whole = told(PracticeLog(0, ()).with_answer(answer), Walker())
    assert "0 of 0 faults came" in whole
    assert "before step 1, Acid dip: What first?" in whole
    assert "▲ wrong: current" in whole
    assert "It is: fan." in whole


def test_a_walk_that_is_left_gives_nothing_away_of_what_is_still_to_come() -> None:
    """It can be taken up again: no fault that did not come yet is named, nor how many there are."""
    walker = in_dip()
    log = PracticeLog(7, (COLD, Fault(2, 5.0, Trouble.BURNT, "grey, rough at an edge")))
    before = told(log, walker, ended=False)
    assert "No faults came so far, 0 dealt with rightly; no false calls   (the walk was left: in a" in before
    for words in ("step 1", "step 2", Trouble.COLD, Trouble.BURNT, "did not come", "of 2"):
        assert words not in before


def test_a_fault_that_shows_when_a_walk_is_left_is_not_named() -> None:
    """It stands there when the walk is taken up again, whatever it was taken for by then."""
    walker = in_dip()
    walker.wait(6)
    call = judge(LOG, walker.state, walker.now, Trouble.BURNT, LESSONS[Trouble.BURNT].right)
    for log in (LOG, LOG.with_call(call)):
        left = told(log, walker, ended=False)
        assert "1 fault came so far" in left
        assert "step 1, Acid dip: something showed there, and is not dealt with yet" in left
        for words in (Trouble.COLD, COLD.meter, RIGHT, LESSONS[Trouble.COLD].matters):
            assert words not in left
    assert "taken for something else once: an edge is burning (once)" in left


def test_what_was_guessed_before_the_right_cause_is_told() -> None:
    """How often, and what it was taken for: a cause that is guessed was not seen."""
    walker = in_dip()
    walker.wait(9)
    log = LOG
    for said in (Trouble.BURNT, Trouble.NO_RINSE, Trouble.BURNT, Trouble.COLD):
        log = log.with_call(judge(log, walker.state, walker.now, said, LESSONS[said].right))
    whole = told(log, walker)
    assert "1 dealt with rightly, a wrong cause called 3 times; no false calls" in whole
    assert "✓ noticed after 4 s" in whole
    guesses = "an edge is burning (twice), the rinse was left out (once)"
    assert f"▲ taken for something else 3 times: {guesses}" in whole


def test_a_false_call_is_told_where_the_rack_was() -> None:
    """In a step, before the first one, or on the way to the next: it is not told under the step behind it."""
    walker, log = Walker(), LOG
    log = log.with_call(judge(log, walker.state, walker.now, Trouble.COLD, RIGHT))
    walker.do(do.Enter())
    log = log.with_call(judge(log, walker.state, walker.now, Trouble.COLD, RIGHT))
    walker.do(do.Leave())
    log = log.with_call(judge(log, walker.state, walker.now, Trouble.COLD, RIGHT))
    rows = [row for row in told(log, walker).split("\n") if "Nothing was wrong" in row]
    places = [row.partition(": called")[0] for row in rows]
    assert places == ["before step 1, Acid dip", "step 1, Acid dip", "before step 2, Bright nickel"]


def test_a_call_after_the_last_step_is_told_there() -> None:
    """There is no step before which it could stand."""
    walker = Walker()
    state = replace(walker.state, next_step=len(walker.state.opened.plan.steps) + 1)
    call = judge(LOG, state, walker.now, Trouble.COLD, RIGHT)
    assert "after the last step: called the bath is too cold" in told(LOG.with_call(call), walker)


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
