"""Who may do what, and when a PIN is asked for again."""

from __future__ import annotations

import pytest

from runner.batch import intents as do
from runner.batch.intents import Intent
from runner.batch.kinds import SIGNED_KINDS
from runner.batch.terms import Person
from support.batches import AUDITOR, CHARGEHAND, HELD_STEPS, OPERATOR, OWNER, TRAINEE, Walker

NOBODY = Person("nick", "Nick Demo", "visitor", "SHA256:nobody")


def at_operator_hold(by: Person = OPERATOR) -> Walker:
    """In the first step, which the operator walked and has to sign."""
    walker = Walker(steps=HELD_STEPS, by=by)
    walker.do(do.Enter())
    walker.do(do.AnswerChoice(1, 0, "even, bright"))
    return walker


def at_chargehand_hold() -> Walker:
    """In the last step, the look that a chargehand signs."""
    walker = Walker(by=OPERATOR).to_nickel()
    walker.do(do.AnswerValue(2, 0, 40.0))
    walker.wait(1800).do(do.Leave())
    walker.wait(20).do(do.Enter())
    walker.wait(240).do(do.Leave())
    walker.wait(20).do(do.Enter())
    return walker


def walked(*, deviation: bool = False) -> Walker:
    """Everything walked and signed, with one deviation explained if wanted."""
    walker = at_chargehand_hold()
    walker.do(do.Sign(), CHARGEHAND)
    walker.do(do.Leave())
    if deviation:
        walker.do(do.Report("a scratch"))
        walker.do(do.Explain(1, "a wrench fell"))
    return walker


SIGNED: dict[str, tuple[Walker, Intent, set[str]]] = {
    "take": (Walker(), do.Take(), {"operator", "chargehand", "owner"}),
    "redo": (walked(), do.Redo(1, "dull"), {"operator", "chargehand", "owner"}),
    "sign a chargehand's hold": (at_chargehand_hold(), do.Sign(), {"chargehand", "owner"}),
    "settle": (walked(deviation=True), do.Settle(1, "reworked"), {"chargehand", "owner"}),
    "release": (walked(), do.Release(4), {"chargehand", "owner"}),
    "abandon": (Walker(), do.Abandon("dropped"), {"operator", "chargehand", "owner"}),
}
"""Acts that stand only with a signature, a batch in which each is due, and the roles that may."""

PEOPLE = [OWNER, CHARGEHAND, OPERATOR, TRAINEE, AUDITOR, NOBODY]


def copy(walker: Walker) -> Walker:
    """The same batch for one test alone."""
    again = Walker(steps=walker.steps, by=walker.by)
    again.now, again.state, again.events = walker.now, walker.state, list(walker.events)
    return again


@pytest.mark.parametrize("by", PEOPLE, ids=lambda person: person.role)
@pytest.mark.parametrize("act", SIGNED)
def test_each_act_is_for_the_roles_that_may(act: str, by: Person) -> None:
    """An operator walks, a chargehand also signs, settles and releases, a trainee and an auditor do none."""
    batch, intent, roles = SIGNED[act]
    walker = copy(batch)
    if by.role in roles:
        walker.do(intent, by)
        event, _ = walker.events[-1 if act != "redo" else -2]
        assert event.kind in SIGNED_KINDS
        assert getattr(event, "by", by) == by
    else:
        assert f"{by.role}, who may not" in walker.refusal(intent, by)


@pytest.mark.parametrize("act", SIGNED)
def test_no_act_stands_without_an_unlocked_key(act: str) -> None:
    """With the key locked nobody signs, whatever their role."""
    batch, intent, _ = SIGNED[act]
    assert copy(batch).refusal(intent, OWNER, unlocked=False) == "this needs a signature"


@pytest.mark.parametrize("act", SIGNED)
def test_what_decides_about_parts_asks_for_the_pin_again(act: str) -> None:
    """Hold points, settlements, release and abandonment want a fresh PIN; taking and redoing do not."""
    batch, intent, _ = SIGNED[act]
    walker = copy(batch)
    if act in {"take", "redo"}:
        walker.do(intent, OWNER, fresh=False)
    else:
        assert walker.refusal(intent, OWNER, fresh=False) == "this needs a signature"


def test_an_operator_s_hold_point_is_signed_by_who_walked_it() -> None:
    """Not even the owner signs for what the operator's hands did."""
    walker = at_operator_hold()
    assert "walked by otto" in walker.refusal(do.Sign(), OWNER)
    assert "walked by otto" in walker.refusal(do.Sign(), CHARGEHAND)
    assert walker.do(do.Sign(), OPERATOR) == ["step-signed"]
    assert walker.refusal(do.Sign(), OPERATOR) == "the step is signed already"
    assert [signature.by for signature in walker.state.runs[-1].signatures] == [OPERATOR]


def test_an_operator_s_hold_point_wants_a_fresh_pin() -> None:
    """The key being unlocked is not enough."""
    assert at_operator_hold().refusal(do.Sign(), OPERATOR, fresh=False) == "this needs a signature"


@pytest.mark.parametrize("by", [TRAINEE, AUDITOR], ids=lambda person: person.role)
def test_who_may_not_walk_cannot_sign_for_a_step_either(by: Person) -> None:
    """A hold point of a step that a trainee entered stays unsigned."""
    assert "may not sign operator" in at_operator_hold(by).refusal(do.Sign(), by)


def test_an_unsigned_hold_point_keeps_the_rack_from_going_on() -> None:
    """The next step is entered only when the hold point before it is signed."""
    walker = at_operator_hold()
    walker.do(do.Leave())
    assert walker.refusal(do.Enter()) == "step 1 waits for its signature"
    assert walker.action() == "sign"
    walker.do(do.Sign())
    assert "step-entered" in walker.do(do.Enter())


def test_a_step_without_a_hold_point_is_not_signed() -> None:
    """A dip has nothing to sign, nor has a batch before its first step."""
    walker = Walker()
    assert walker.refusal(do.Sign()) == "there is no hold point here"
    walker.do(do.Enter())
    assert walker.refusal(do.Sign()) == "there is no hold point here"


def test_a_step_done_again_is_signed_again() -> None:
    """The signature of the first time through does not carry over."""
    walker = at_operator_hold()
    walker.do(do.Sign())
    walker.do(do.Leave())
    walker.do(do.Redo(1, "one fell off"))
    walker.do(do.Enter())
    walker.do(do.Leave())
    assert walker.refusal(do.Enter()) == "step 1 waits for its signature"
    assert [(run.attempt, len(run.signatures)) for run in walker.state.runs] == [(1, 1), (2, 0)]


def test_a_batch_taken_over_is_in_other_hands() -> None:
    """Who took it last has it in hand, and who opened it stays on its first line."""
    walker = Walker(by=OWNER)
    walker.do(do.Take(), OPERATOR)
    assert walker.state.taken_by == OPERATOR
    assert walker.state.opened.by == OWNER


@pytest.mark.parametrize("end", [do.Release(4), do.Abandon("dropped")], ids=["released", "abandoned"])
def test_nothing_follows_an_end(end: Intent) -> None:
    """Neither a note nor an act is taken once a batch is released or abandoned."""
    walker = walked()
    walker.do(end, CHARGEHAND)
    assert walker.state.ended_by == CHARGEHAND
    assert walker.action() == "none"
    for intent in (do.WriteNote("late"), do.Take(), do.Enter(), do.Redo(1, "again"), end, do.Report("late")):
        assert "batch 2026-0001 is" in walker.refusal(intent, CHARGEHAND)


def test_a_release_says_how_many_pieces_are_good() -> None:
    """From none to as many as hung on the rack."""
    for pieces in (-1, 5):
        assert f"{pieces} pieces of 4" in walked().refusal(do.Release(pieces), OWNER)
    for pieces in (0, 4):
        walker = walked()
        walker.do(do.Release(pieces), OWNER)
        assert walker.state.released_pieces == pieces


def test_no_step_is_skipped_entered_twice_or_left_twice() -> None:
    """Steps are walked one after the other: in, out, and on to the next."""
    walker = Walker()
    assert walker.refusal(do.Leave()) == "no step is under way"
    walker.do(do.Enter())
    assert "cannot happen while the batch is in a step" in walker.refusal(do.Enter())
    walker.wait(30).do(do.Leave())
    assert walker.refusal(do.Leave()) == "no step is under way"
    walker.do(do.Enter())
    assert [run.step for run in walker.state.runs] == [1, 2]
    assert walked().refusal(do.Enter()) == "every step has been walked"
