"""What is asked, and when: never while a rack drips if it could be asked before."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from runner.batch import intents as do
from runner.batch.questions import Action, next_action
from runner.batch.terms import Where
from runner.procedure.sheet import PlannedCheck
from support.batches import HELD_STEPS, STEPS, Walker
from support.racks import dip, nickel, without


def asked(walker: Walker) -> tuple[str, int, str]:
    """The action now: its name, its step and the question's words."""
    action = next_action(walker.state, walker.now)
    return action.name, action.step, action.question.asked.ask if action.question else ""


def test_a_walk_in_good_order() -> None:
    """The whole of a route, as it is asked for."""
    walker, said = Walker(steps=HELD_STEPS), []
    while walker.action() != "none":
        said.append(asked(walker))
        walker.follow()
    assert walker.departures() == []
    assert said == [
        ("enter", 1, ""),
        ("answer", 1, "Contacts"),
        ("answer", 2, "pH"),
        ("confirm", 2, ""),
        ("sign", 1, ""),
        ("lift", 1, ""),
        ("enter", 2, ""),
        ("answer", 2, "Rectifier current"),
        ("answer", 4, "Temperature"),  # the rinse before it is too short to ask in
        ("confirm", 4, ""),
        ("wait", 2, ""),
        ("lift", 2, ""),
        ("answer", 2, "Colour all over"),
        ("enter", 3, ""),
        ("wait", 3, ""),
        ("lift", 3, ""),
        ("enter", 4, ""),
        ("wait", 4, ""),
        ("lift", 4, ""),
        ("sign", 4, ""),
        ("enter", 5, ""),
        ("sign", 5, ""),
        ("lift", 5, ""),
        ("release", 0, ""),
    ]


def test_the_wait_says_how_long() -> None:
    """Asked in the middle of a dwell, the wait is until the lift."""
    walker = nickel(600)
    action = next_action(walker.state, walker.now)
    assert action.name == "wait"
    assert action.wait_s == pytest.approx(1200)


def test_a_rack_that_drips_against_a_limit_is_not_kept_with_questions() -> None:
    """But for the look at the lift: cautions and checks that were missed become deviations, not delays."""
    walker = without(answer=True, caution=True)
    assert asked(walker) == ("answer", 1, "Water break")
    walker.do(do.AnswerChoice(1, 0, "none"))
    assert asked(walker) == ("enter", 2, "")


def test_a_rack_in_no_hurry_is_asked_first() -> None:
    """Before the first step nothing drips, so what it needs to know is asked."""
    walker = Walker(steps=(replace(STEPS[1], number=1),))
    assert asked(walker) == ("answer", 1, "pH")
    walker.do(do.AnswerValue(1, 1, 4.0))
    assert asked(walker) == ("confirm", 1, "")
    walker.do(do.Confirm(1))
    assert asked(walker) == ("enter", 1, "")


def test_when_the_time_is_up_the_lift_comes_before_what_the_next_step_asks() -> None:
    """An overdue rack is not kept in its tank by a caution."""
    walker = Walker()
    walker.do(do.Enter())
    assert asked(walker) == ("answer", 2, "pH")
    assert asked(walker.wait(30)) == ("lift", 1, "")


@pytest.mark.parametrize(("left_s", "name"), [(61, "explain"), (60, "explain"), (59, "wait"), (0, "lift")])
def test_reasons_are_asked_in_a_quiet_dwell(left_s: float, name: str) -> None:
    """With a minute or more to go there is a hand free to say why; under that there is not."""
    walker = nickel(1740 - 600)
    walker.do(do.Report("air is off"))
    assert asked(walker.wait(660 - left_s)) == (name, 2, "")


def test_reasons_are_asked_in_hand_work() -> None:
    """A step without a time leaves time to say why."""
    walker = Walker(steps=(replace(STEPS[3], number=1, sign=None),))
    walker.do(do.Enter())
    walker.do(do.Report("a scratch"))
    assert asked(walker) == ("explain", 1, "")
    walker.do(do.Explain(1, "a wrench fell"))
    assert asked(walker) == ("lift", 1, "")


def test_a_pause_asks_for_its_end() -> None:
    """Whatever else is open, an interrupted step goes on first."""
    walker = dip()
    walker.do(do.Interrupt(Where.LIFTED))
    assert asked(walker) == ("resume", 1, "")


def test_an_ended_batch_asks_for_nothing() -> None:
    """There is nothing to do for a batch that was abandoned."""
    walker = dip()
    walker.do(do.Abandon("dropped"))
    assert next_action(walker.state, walker.now) == Action("none")


def test_a_look_not_given_at_the_lift_is_asked_for_until_it_is() -> None:
    """Asked between the tanks, and again in the next one; the answer goes to the step it is about."""
    walker = dip(30)
    walker.do(do.Leave())
    assert asked(walker) == ("answer", 1, "Water break")
    walker.do(do.Enter())
    walker.do(do.AnswerValue(2, 0, 40.0))
    assert asked(walker) == ("answer", 1, "Water break")
    walker.do(do.AnswerChoice(1, 0, "none"))
    assert asked(walker)[0] == "wait"
    assert [answer.choice for answer in walker.state.runs[0].answers] == ["none"]


def test_a_look_is_not_answered_before_its_step() -> None:
    """The nickel's meter cannot be told while the rack is in the dip, nor a step's that there is not."""
    walker = dip()
    for step, check in ((2, 0), (3, 0), (0, 0), (9, 0), (1, 1), (1, -1)):
        assert "no such check" in walker.refusal(do.AnswerValue(step, check, 40.0))
    assert walker.refusal(do.AnswerChoice(1, 0, "blue")) == "that is none of the choices"
    assert "not a value" in walker.refusal(do.AnswerValue(1, 0, 1.0))


def test_cautions_are_confirmed_where_they_are_asked() -> None:
    """Neither those of a step gone by nor those of one far ahead."""
    walker = nickel()
    for step in (0, 1, 2, 4, 9):
        assert f"cautions of step {step}" in walker.refusal(do.Confirm(step))
    walker.do(do.Confirm(3))
    assert walker.state.confirmed == ((3, walker.now),)


@pytest.mark.parametrize(("rinse_s", "asked_ahead"), [(59.0, True), (60.0, False), (None, True)])
def test_a_step_of_a_minute_is_long_enough_to_ask_in(rinse_s: float | None, *, asked_ahead: bool) -> None:
    """Before a shorter one, or one without a time, the cautions of the step after it are asked too."""
    rinse = replace(HELD_STEPS[2], number=1, dwell_s=rinse_s)
    walker = Walker(steps=(rinse, replace(STEPS[1], number=2)))
    assert asked(walker) == (("answer", 2, "pH") if asked_ahead else ("enter", 1, ""))


def test_the_moment_of_confirming_goes_with_the_step() -> None:
    """The record can say when the cautions of a step were confirmed: before it was entered."""
    walker = dip(10)
    confirmed = walker.state.confirmed[0][1]
    walker.wait(20).do(do.Leave())
    walker.wait(10).do(do.Enter())
    assert walker.state.runs[-1].confirmed == confirmed
    assert [answer.value for answer in walker.state.runs[-1].answers] == [4.0]
    assert (walker.state.confirmed, walker.state.early_answers) == ((), ())


def test_a_redone_step_is_asked_about_afresh() -> None:
    """Answers and cautions given for what was to come do not count after going back."""
    walker = dip(30)
    walker.do(do.Leave())
    walker.do(do.Redo(1, "not wetted"))
    assert (walker.state.confirmed, walker.state.early_answers) == ((), ())
    walker.do(do.Enter())
    assert walker.state.runs[-1].attempt == 2
    assert asked(walker) == ("answer", 2, "pH")
    walker.wait(30).do(do.Leave())
    assert asked(walker) == ("answer", 1, "Water break"), "asked of the second time, not of the first"
    walker.do(do.AnswerChoice(1, 0, "none"))
    assert [len(run.answers) for run in walker.state.runs] == [0, 1]


def test_cautions_of_a_step_gone_back_to_are_asked_though_the_rack_drips() -> None:
    """They lapsed with going back, and there is no step before it to ask them in: none is walked past."""
    walker = dip(30)
    walker.do(do.Leave())
    walker.do(do.AnswerChoice(1, 0, "none"))
    walker.do(do.Enter())
    walker.wait(1800).do(do.AnswerValue(2, 0, 40.0))
    walker.do(do.Leave())
    assert asked(walker) == ("enter", 3, "")
    walker.do(do.Redo(2, "dull"))
    assert asked(walker) == ("answer", 2, "pH")
    walker.do(do.AnswerValue(2, 1, 4.0))
    assert asked(walker) == ("confirm", 2, "")
    walker.do(do.Confirm(2))
    assert asked(walker) == ("enter", 2, "")
    walker.do(do.Enter())
    assert [one.what for one in walker.state.deviations] == ["redone"]
    assert walker.state.runs[-1].confirmed is not None


@pytest.mark.parametrize(("rinse_s", "now_asked"), [(20.0, "confirm"), (60.0, "enter")])
def test_going_back_to_a_short_step_asks_what_it_leaves_no_time_for(rinse_s: float, now_asked: str) -> None:
    """The chromium's cautions lapsed too: a rinse of 20 s is no place for them, one of a minute is."""
    rinse = replace(HELD_STEPS[2], number=1, dwell_s=rinse_s)
    walker = Walker(steps=(rinse, replace(HELD_STEPS[3], number=2, sign=None, checks=())))
    walker.do(do.Confirm(2)) if rinse_s < 60 else None
    walker.do(do.Enter())
    walker.wait(rinse_s).do(do.Leave())
    walker.do(do.Redo(1, "not all the way in"))
    assert asked(walker)[0] == now_asked


def test_a_late_answer_is_kept() -> None:
    """A check that was missed at entry may be answered in the step and after it."""
    walker = without(answer=True)
    walker.do(do.Enter())
    walker.do(do.AnswerValue(2, 1, 4.1))
    walker.wait(1800).do(do.Leave())
    walker.do(do.AnswerValue(2, 0, 39.0))
    assert [answer.value for answer in walker.state.runs[-1].answers] == [4.1, 39.0]
    assert not walker.state.runs[-1].readings, "a meter read after the lift moves no timer"


def test_a_caution_of_hand_work_is_asked_too() -> None:
    """A step without a tank is not looked past: what follows it is asked in it."""
    hand = replace(
        STEPS[3], number=1, sign=None, checks=(PlannedCheck("Masked", "before", choices=("yes",)),)
    )
    walker = Walker(steps=(hand, replace(STEPS[1], number=2)))
    assert "not asked yet" in walker.refusal(do.Confirm(2))
    assert asked(walker) == ("answer", 1, "Masked")
