"""Going back to a step that was walked: which are offered, and what is said before anything is asked."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_asyncio
from msgspec.structs import replace

from runner.batch import intents as do
from runner.batch.state import Phase
from runner.procedure.sheet import Plan
from runner.screens.walk_redo import WHICH
from support.screen import Stage, stage
from support.sheets import DIP, NICKEL, RACK, sheet


@pytest_asyncio.fixture
async def s(tmp_path: Path) -> AsyncIterator[Stage]:
    """The app at 80×24."""
    async with stage(tmp_path) as it:
        yield it


def of_hand_work(count: int, name: str = "Look") -> Plan:
    """A plan of steps without a tank, a question or a signature: "Look 1" and so on."""
    looks = (replace(RACK, name=f"{name} {number}", checks=()) for number in range(1, count + 1))
    return sheet(*looks)


async def walked(s: Stage, plan: Plan, count: int) -> str:
    """A batch whose first steps are walked; its walk stands before the next."""
    batch = await s.open(plan)
    for intent in (do.Enter(), do.Leave()) * count:
        s.clock.wait(2)
        s.floor.act(batch, intent, s.clock())
    s.app.to_walk(batch)
    await s.sees("space")
    assert (s.state(batch).next_step, s.state(batch).inside) == (count + 1, False)
    return batch


async def test_the_steps_that_were_walked_are_offered_the_latest_first(s: Stage) -> None:
    """Each has a digit, its number and its name; the one chosen and those after it are walked again."""
    batch = await walked(s, of_hand_work(4), 3)
    await s.press("r")
    await s.sees(WHICH, "1  step 3  Look 3", "3  step 1  Look 1")
    assert "Look 4" not in s.text().split(WHICH)[1]
    assert "another, by its number" not in s.text()
    await s.press("2")
    await s.sees("Why is step 2 redone?", "it and the steps after it are walked again")
    await s.type("one contact was loose")
    await s.press("enter")
    await s.until(lambda: s.state(batch).next_step == 2, "the step was to be walked again")
    assert s.state(batch).phase is Phase.BETWEEN
    await s.press("r")
    await s.sees(WHICH, "1  step 1  Look 1")
    assert "step 2  Look 2" not in s.text().split(WHICH)[1]


async def test_eight_steps_have_a_digit_and_no_ninth_choice(s: Stage) -> None:
    """Where eight were walked all of them are there."""
    await walked(s, of_hand_work(9), 8)
    await s.press("r")
    await s.sees(WHICH, "1  step 8  Look 8", "8  step 1  Look 1")
    assert "by its number" not in s.text()


async def test_a_step_further_back_is_named_by_its_number_which_is_checked_at_once(s: Stage) -> None:
    """With more than eight the ninth digit asks; a number of no walked step is refused before the reason."""
    batch = await walked(s, of_hand_work(12), 10)
    held = s.state(batch)
    await s.press("r")
    await s.sees(WHICH, "1  step 10  Look 10", "8  step 3  Look 3", "9  another, by its number")
    await s.press("9")
    await s.sees("its number, 1 to 10")
    for typed, said in (
        ("0", "step 0 has not been walked"),
        ("11", "step 11 has not been walked"),
        ("9" * 100, "has not been walked"),
        ("one", "one is no number of a step"),
        ("²", "is no number of a step"),
    ):
        await s.type(typed)
        await s.press("enter")
        await s.sees(said, "type 1 to 10")
        await s.press(*["backspace"] * len(typed), each_s=0.05)
    assert s.state(batch) == held
    await s.type("2")
    await s.press("enter")
    await s.sees("Why is step 2 redone?")
    await s.type("it was left out")
    await s.press("enter")
    await s.until(lambda: s.state(batch).next_step == 2, "the step was to be walked again")


@pytest.mark.parametrize("digit", ["1", "9"])
async def test_escape_goes_back_to_nothing(s: Stage, digit: str) -> None:
    """From the choice, from the number or from the reason: nothing is redone."""
    batch = await walked(s, of_hand_work(10), 9)
    held = s.state(batch)
    await s.press("r")
    await s.sees(WHICH)
    await s.press(digit)
    await s.sees("enter: keep it")
    await s.press("escape")
    await s.until(lambda: "enter: keep it" not in s.text(), "the question was left")
    assert s.state(batch) == held


async def test_what_cannot_be_redone_now_is_said_before_anything_is_asked(s: Stage) -> None:
    """Nothing walked yet, hand work under way, a rack in its tank, an interruption: each in its own words."""
    batch = await s.walk(sheet(RACK, DIP, NICKEL))
    await s.press("r")
    await s.sees("no step has been walked yet: there is none to go back to")
    await s.press("space")
    await s.press("r")
    await s.sees("Rack is being done: finish it first, then go back")
    await s.press("1", "space", "1")
    await s.type("4")
    await s.press("enter", "space", "1", "2", "3")
    await s.press("space")
    await s.press("space", each_s=2.0)
    assert s.state(batch).runs[-1].step == 2
    await s.press("r")
    await s.sees("the rack is in Acid dip: lift it out first, then go back")
    await s.press("p")
    await s.sees("Where is the rack?")
    await s.press("1")
    await s.until(lambda: s.state(batch).phase is Phase.PAUSED, "it was interrupted")
    await s.press("r")
    await s.sees("Acid dip is interrupted: go on with it and finish it first")
    assert WHICH not in s.text()
    assert "Why is step" not in s.text()


async def test_without_a_key_it_says_how_to_get_one_and_asks_nothing(tmp_path: Path) -> None:
    """Going back is signed: the PIN comes before the questions, not after the reason."""
    async with stage(tmp_path) as first:
        batch = await walked(first, of_hand_work(3), 2)
    async with stage(tmp_path) as s:
        assert s.app.floor.take(batch, s.clock()) is None
        s.app.to_walk(batch)
        await s.sees("no key: u")
        await s.press("r")
        await s.sees("going back is signed: press u and enter your PIN")
        assert WHICH not in s.text()


async def test_a_walked_batch_can_still_go_back(s: Stage) -> None:
    """After the last step, before the release."""
    batch = await walked(s, of_hand_work(2), 2)
    assert s.state(batch).phase is Phase.WALKED
    await s.press("r")
    await s.sees(WHICH, "1  step 2  Look 2")


async def test_the_choice_fits_a_small_terminal(tmp_path: Path) -> None:
    """At 40 by 12 every digit that can be pressed is there to be read."""
    async with stage(tmp_path, size=(40, 12)) as s:
        await walked(s, of_hand_work(12, "Look at the back of it, and at each contact, "), 10)
        await s.press("r")
        await s.sees("1  step 10  Look at", "6  step 5  Look at", "7  another, by its number", "escape: back")
        await s.press("7")
        await s.sees("its number, 1 to 10")


async def test_a_count_of_good_pieces_is_checked_before_the_pin(s: Stage) -> None:
    """No number and more than hang on the rack are said at once, with what there is; the PIN is not asked."""
    await walked(s, of_hand_work(1), 1)
    await s.press("space")
    await s.sees("How many pieces are good?", "of 4; the others are set aside")
    for typed, said in (
        ("9", "9 good pieces are more than the 4 here; type 0 to 4"),
        ("-1", "-1 is no count of pieces; type 0 to 4"),
        ("9" * 100, "are more than the 4 here"),
    ):
        await s.type(typed)
        await s.press("enter")
        await s.sees(said)
        assert "another person" not in s.text()
        await s.press(*["backspace"] * len(typed), each_s=0.05)
    await s.type("3")
    await s.press("enter")
    await s.sees("3 of 4 pieces are good", "another person")
