"""A reader that types a batch's number and enter: told from a hand, and led to that batch."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.cli.main import run
from runner.procedure.sheet import PlannedStep
from runner.screens.burst import ENTER, GAP_MS, HANDS, said_of
from support.floors import Works, write_shop
from support.screen import Stage, stage
from support.sheets import DIP, FINAL, NICKEL, RACK, RINSE, sheet

LABELS = ("2026-0007", "2026-123456", "practice-2026-0007", "PRACTICE-2026-0007")


def typed(text: str, gap_ms: int) -> list[tuple[str, int]]:
    """Characters that come one after another at one pace."""
    return [(character, 1000 + at * gap_ms) for at, character in enumerate(text)]


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("gap_ms", [0, 1, 10, GAP_MS])
def test_a_number_and_enter_at_a_readers_pace_is_a_label(label: str, gap_ms: int) -> None:
    """Until enter comes it is waited for; no character of it is a key before that."""
    pressed = typed(label + ENTER, gap_ms)
    for count in range(1, len(pressed)):
        assert said_of(pressed[:count], pressed[count - 1][1]) == "wait"
    assert said_of(pressed, pressed[-1][1]) == "number"


@pytest.mark.parametrize("label", LABELS)
def test_the_same_at_a_hands_pace_is_a_hand(label: str) -> None:
    """Even a fast typist is slower than a reader."""
    assert said_of(typed(label + ENTER, GAP_MS + 1), 10_000) == "hand"


@pytest.mark.parametrize("character", ["1", "9", "o", "q", " "])
def test_one_key_alone_is_a_hand_in_less_than_60_ms(character: str) -> None:
    """A digit on the board waits no longer than that for what does not come."""
    assert GAP_MS < 60
    assert said_of([(character, 1000)], 1000 + GAP_MS) == "wait"
    assert said_of([(character, 1000)], 1000 + GAP_MS + 1) == "hand"


@pytest.mark.parametrize("text", ["2026-00", "2026", "quit", "12345678" + ENTER, "abc" + ENTER, "2026-0007x"])
def test_what_a_reader_types_that_is_no_number_is_none_of_the_keys(text: str) -> None:
    """A label of something else, or one read by half, acts nowhere."""
    pressed = typed(text, 5)
    assert said_of(pressed, pressed[-1][1] + GAP_MS + 1) == "other"


@given(
    st.lists(st.tuples(st.sampled_from("0123456789-prq \r"), st.integers(0, 200)), min_size=1, max_size=30)
)
def test_only_a_whole_number_typed_faster_than_a_hand_is_a_label(steps: list[tuple[str, int]]) -> None:
    """Whatever comes at whatever pace, a label needs every gap to be a reader's; slower keys are a hand's."""
    at, pressed = 1000, []
    for character, gap in steps:
        at += gap
        pressed.append((character, at))
    said = said_of(pressed, at + GAP_MS + 1)
    slow = any(gap > GAP_MS for _, gap in steps[1:])
    assert said != "wait"
    assert not slow or said == "hand"
    assert slow or len(steps) > HANDS or said == "hand"


async def reads(s: Stage, label: str) -> None:
    """The reader types a label and enter."""
    s.clock.wait(1)
    s.send(*label, "enter")
    await s.settled()


async def test_on_the_board_a_label_opens_the_walk_of_its_batch(tmp_path: Path) -> None:
    """Not the rack whose digit its first character is."""
    async with stage(tmp_path) as s:
        for part in ("one", "two", "three"):
            await s.open(sheet(RACK, FINAL), part=part)
        await s.sees("open batch")
        await reads(s, "2026-0003")
        await s.sees("three ×4 · batch 2026-0003")


async def test_a_digit_pressed_by_a_hand_still_goes_to_its_rack(tmp_path: Path) -> None:
    """Alone, it is waited with for less time than a hand takes to leave the key."""
    async with stage(tmp_path) as s:
        for part in ("one", "two"):
            await s.open(sheet(RACK, FINAL), part=part)
        await s.wait(1)
        await s.press("2")
        await s.sees("two ×4 · batch 2026-0002")


@pytest.mark.parametrize(
    ("key", "words"),
    [("o", "Open a batch"), ("r", "Records"), ("u", "People")],
)
async def test_from_any_page_of_the_board_a_label_leads_to_its_batch(
    tmp_path: Path, key: str, words: str
) -> None:
    """No digit of it chooses a procedure there."""
    async with stage(tmp_path) as s:
        batch = await s.open(sheet(RACK, FINAL), part="one")
        await s.press(key)
        await s.sees(words)
        await reads(s, batch)
        await s.sees(f"one ×4 · batch {batch}")


async def test_over_help_a_label_is_said_to_have_been_read(tmp_path: Path) -> None:
    """The page stays, and nothing acts."""
    async with stage(tmp_path) as s:
        batch = await s.open(sheet(RACK, FINAL))
        await s.press("question_mark")
        await s.sees("escape: back")
        await reads(s, batch)
        await s.sees("a label was read", "escape: back")


@pytest.mark.parametrize("steps", [(NICKEL, RACK), (RACK, DIP)], ids=["figure", "choice"])
async def test_in_a_walk_a_label_leads_to_the_other_batch_and_answers_nothing(
    tmp_path: Path, steps: tuple[PlannedStep, ...]
) -> None:
    """Its digits are neither a figure nor a choice: the question stands as it stood."""
    async with stage(tmp_path) as s:
        other = await s.open(sheet(RACK, FINAL), part="other")
        batch = await s.walk(sheet(*steps))
        if steps[0] is RACK:
            await s.press("space")
            await s.sees("LOOK", " 1 ", " 2 ")
        before = s.state(batch)
        await reads(s, other)
        await s.sees("other ×4 · batch 2026-0001")
        assert s.state(batch) == before


async def test_a_label_reads_no_caution_away(tmp_path: Path) -> None:
    """The digits of a number are those that confirm cautions; none of them does, and the words say why."""
    async with stage(tmp_path) as s:
        await s.walk(sheet(DIP, RINSE))
        await s.press("space")
        await s.sees("1 of 1")
        await reads(s, "2026-0001")
        await s.sees("a label was read", "1 of 1")
        await s.press("1")
        await s.sees("PUT IT INTO ACID DIP")


@pytest.mark.parametrize(
    ("label", "said"),
    [
        ("2026-0099", "no batch 2026-0099 is known"),
        ("practice-2026-0042", "no batch practice-2026-0042 is known"),
    ],
)
async def test_a_number_that_nobody_knows_is_said_plainly(tmp_path: Path, label: str, said: str) -> None:
    """And nothing else happens: no letter of it opened a page."""
    async with stage(tmp_path) as s:
        await reads(s, label)
        await s.sees(said, "No batch is open")


async def test_another_label_is_said_to_be_none_and_acts_on_nothing(tmp_path: Path) -> None:
    """Its letters would leave the app or open pages."""
    async with stage(tmp_path) as s:
        await reads(s, "quor-55")
        await s.sees("that label is no batch's", "No batch is open")


async def test_the_label_of_a_sealed_batch_opens_its_record(tmp_path: Path) -> None:
    """Years later the label on the box leads to what was done."""
    works = Works(write_shop(tmp_path / "shop"), tmp_path / "keys").hire()
    works.follow_to(works.open(), "release")
    works.floor.close()
    async with stage(tmp_path) as s:
        await reads(s, "2026-0001")
        await s.sees("Record of batch 2026-0001", "RELEASED")


async def test_the_label_of_a_rehearsal_opens_its_record_and_says_that_it_was_practice(
    tmp_path: Path,
) -> None:
    """It is none of production's, and is not listed there."""
    shop = write_shop(tmp_path / "shop")
    route = str(shop / "procedures" / "route.toml")
    assert run(["rehearse", route, "--area", "5 dm2", "--pieces", "2", "--json"]) == 0
    (folder,) = (shop / "logs" / "practice").glob("practice-*")
    async with stage(tmp_path) as s:
        await reads(s, folder.name)
        await s.sees(f"Record of batch {folder.name}", "RELEASED IN PRACTICE ONLY")
