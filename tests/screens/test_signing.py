"""Who signs, with which PIN, and what is said when it is not theirs."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest_asyncio

from runner.batch.state import Phase
from support.floors import PIN
from support.screen import Stage, stage
from support.sheets import FINAL, RACK, sheet


@pytest_asyncio.fixture
async def s(tmp_path: Path) -> AsyncIterator[Stage]:
    """The app at 80×24."""
    async with stage(tmp_path) as it:
        yield it


async def test_a_hold_point_is_signed_by_the_chargehand_alone(s: Stage) -> None:
    """Only people whose role allows it are offered; the operator who walked the step is not."""
    batch = await s.walk(sheet(FINAL))
    await s.press("space")
    await s.sees("SIGN, with dry hands", "the chargehand signs step 1")
    await s.press("space")
    await s.sees("Sign step 1")
    offered = set()
    for _ in range(4):
        offered.add(s.row_with(" of ").strip("│ "))
        await s.press("down")
    assert not any("Otto" in who for who in offered)
    await s.pin("cleo")
    await s.until(lambda: bool(s.state(batch).runs[-1].signatures), "it was signed")


async def test_a_wrong_pin_is_said_and_after_some_of_them_so_is_the_wait(s: Stage) -> None:
    """A colleague's guess signs nothing; what the line says names the wait in seconds."""
    batch = await s.walk(sheet(FINAL))
    await s.press("space", "space")
    await s.pin("cleo", "000000")
    await s.sees("that is not the PIN of this key")
    for _ in range(3):
        await s.type("000000")
        await s.press("enter")
        await s.until(lambda: "one moment" not in s.text(), "it was tried")
    await s.sees("wait", " s, then try again")
    assert not s.state(batch).runs[-1].signatures
    assert s.state(batch).phase is Phase.IN_STEP
    s.clock.wait(400)
    await s.type(PIN)
    await s.press("enter")
    await s.until(lambda: bool(s.state(batch).runs[-1].signatures), "it was signed")


async def test_a_label_read_into_the_window_is_no_wrong_pin(s: Stage) -> None:
    """A reader types a batch's number and enter, again and again: nothing is tried, and nobody must wait."""
    batch = await s.walk(sheet(FINAL))
    await s.press("space", "space")
    await s.sees("another person")
    for _ in range(6):
        await s.type(batch)
        await s.press("enter")
    await s.sees("that was a batch's label")
    await s.pin("cleo")
    await s.until(lambda: bool(s.state(batch).runs[-1].signatures), "it was signed at once")


async def test_trouble_is_settled_and_the_batch_released_with_pins(s: Stage) -> None:
    """A deviation wants its reason, its settling by a chargehand, then the count of good pieces."""
    batch = await s.walk(sheet(RACK))
    await s.press("t")
    await s.sees("What is wrong?")
    await s.type("one iron is bent")
    await s.press("enter")
    await s.sees("deviation 1 is noted; its reason is asked later")
    await s.press("space", "1")
    await s.sees("SAY WHY")
    await s.press("space")
    await s.sees("Why?")
    await s.type("it came so")
    await s.press("enter")
    await s.until(lambda: s.state(batch).deviations[0].reason == "it came so", "the reason was written")
    await s.press("space")
    await s.sees("SETTLE deviation 1")
    await s.press("space")
    await s.sees("one iron is bent")
    await s.press("1")
    await s.pin("cleo")
    await s.sees("RELEASE: all steps are walked")
    await s.press("space")
    await s.sees("How many pieces are good?", "of 4")
    await s.type("three")
    await s.press("enter")
    await s.sees("three is no count of pieces")
    await s.press(*["backspace"] * len("three"))
    await s.type("3")
    await s.press("enter")
    await s.pin("cleo")
    await s.sees("No batch is open")
    assert (s.floor.logs / batch / "record.toml.sig").exists()


async def test_two_presses_on_the_last_key_release_once(s: Stage) -> None:
    """A second press while the record is being sealed starts nothing anew and leaves nothing in hand."""
    batch = await s.walk(sheet(RACK))
    await s.press("space", "1", "space", "space")
    await s.sees("How many pieces are good?")
    await s.type("4")
    await s.press("enter")
    await s.sees("another person")
    while "Cleo Demo" not in s.text():
        await s.press("down")
    s.send(*PIN, "enter", "space", "space", "b")
    await s.sees("No batch is open")
    await s.until(lambda: batch not in s.floor._holds, "it was put away")


async def test_the_owner_adds_a_person_with_a_key_of_their_own(s: Stage) -> None:
    """Name, role and PIN are asked one by one; the owner's PIN signs the line; the list shows the key."""
    await s.press("u")
    await s.sees("People", "Olive Demo", "SHA256:")
    await s.press("a")
    await s.sees("Short name")
    await s.type("tess")
    await s.press("enter")
    await s.sees("Full name")
    await s.type("Tess Demo")
    await s.press("enter")
    await s.sees("Role")
    row = s.row_with("trainee")
    await s.press(row.strip("│ ").split()[0])
    await s.sees("a new PIN")
    await s.type("271828")
    await s.press("enter")
    await s.sees("the same again")
    await s.type("271828")
    await s.press("enter")
    await s.pin("olive")
    await s.sees("Tess Demo", "trainee")


async def test_keys_lock_when_nobody_was_there_and_facts_are_still_taken(s: Stage) -> None:
    """After a while without a key press the head says that no key is unlocked; a note is still kept."""
    batch = await s.walk(sheet(RACK))
    await s.wait(s.floor.lock_after_s + 1)
    await s.sees("no key: u")
    await s.press("space")
    assert s.state(batch).phase is Phase.IN_STEP
