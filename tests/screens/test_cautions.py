"""The cautions before a step: read one by one, kept through an interruption, written all at once."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest_asyncio
from msgspec.structs import replace

from runner.screens.walk_asking import CautionsRead
from support.floors import PIN
from support.screen import Stage, stage
from support.sheets import FINAL, NICKEL, sheet

UNCHECKED = replace(NICKEL, checks=())
FIRST, SECOND, THIRD = UNCHECKED.confirm


@pytest_asyncio.fixture
async def s(tmp_path: Path) -> AsyncIterator[Stage]:
    """The app at 80×24."""
    async with stage(tmp_path) as it:
        yield it


async def left_after_one(s: Stage) -> str:
    """A batch before nickel: of its three cautions one was answered, then the window was left."""
    batch = await s.walk(sheet(UNCHECKED, FINAL))
    await s.press("space")
    await s.sees(FIRST, "(1 of 3)")
    await s.press("1")
    await s.sees(SECOND)
    await s.press("escape")
    await s.sees("READ THE CAUTIONS")
    return batch


async def test_a_window_that_was_left_goes_on_at_the_first_caution_not_answered(s: Stage) -> None:
    """Place is kept through an interruption; nothing is on the journal before the last is answered."""
    batch = await left_after_one(s)
    assert s.state(batch).confirmed == ()
    await s.press("space")
    await s.sees(SECOND, "(2 of 3)")
    await s.press("2", "escape")
    await s.sees("READ THE CAUTIONS")
    assert s.state(batch).confirmed == ()
    await s.press("space")
    await s.sees(THIRD, "(3 of 3)")
    await s.press("3")
    await s.sees("PUT IT INTO")
    assert [step for step, _ in s.state(batch).confirmed] == [1]


async def test_a_walk_of_another_batch_in_between_loses_no_place(s: Stage) -> None:
    """Each batch has its own place: another one's cautions begin at their first."""
    batch = await left_after_one(s)
    s.app.to_walk(await s.open(sheet(UNCHECKED, FINAL), part="rosettes"))
    await s.sees("rosettes")
    await s.press("space")
    await s.sees(FIRST, "(1 of 3)")
    await s.press("escape")
    s.app.to_walk(batch)
    await s.sees("stirrup irons")
    await s.press("space")
    await s.sees(SECOND, "(2 of 3)")


async def test_who_takes_the_batch_over_reads_all_of_them(s: Stage) -> None:
    """What one person was told another was not."""
    batch = await left_after_one(s)
    session = await s.app.unlock("cleo", PIN)
    assert await s.app.take(batch, session) is None
    await s.press("space")
    await s.sees(FIRST, "(1 of 3)")


async def test_a_step_that_is_come_to_again_has_its_cautions_read_anew(s: Stage) -> None:
    """What was answered counts for the one way into that step: not for another, nor once it was entered."""
    batch = await s.walk(sheet(UNCHECKED, FINAL))
    before, read = s.state(batch), CautionsRead()
    read.keep(before, 1, 2)
    assert (read.of(before, 1), read.of(before, 2)) == (2, 0)
    await s.press("f")
    assert read.of(s.state(batch), 1) == 0
