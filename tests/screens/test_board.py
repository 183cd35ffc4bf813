"""The board's rows and keys: which digit opens which rack, and what stands in a row at every width."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest_asyncio

from runner.batch import intents as do
from support.floors import PIN
from support.screen import Stage, stage
from support.sheets import FINAL, RACK, sheet


@pytest_asyncio.fixture
async def s(tmp_path: Path) -> AsyncIterator[Stage]:
    """The app at 80×24."""
    async with stage(tmp_path) as it:
        yield it


async def test_a_rack_keeps_its_digit_when_another_ends(s: Stage) -> None:
    """Of four the second ends: 4 still opens the fourth, 2 opens nothing until a new rack gets it."""
    plan = sheet(RACK, FINAL)
    batches = [await s.open(plan, part=f"part {number}") for number in (1, 2, 3, 4)]
    session = s.floor.roll.unlock("otto", PIN, s.clock())
    s.floor.act(batches[1], do.Abandon("dropped"), s.clock(), session)
    await s.wait(1)
    assert " 4  · part 4" in s.row_with("part 4")
    await s.press("2")
    assert "part 1" in s.text()
    await s.press("4")
    await s.sees("part 4")
    assert "part 1" not in s.text()
    await s.press("b")
    await s.open(plan, part="part 5")
    await s.wait(1)
    assert " 2  · part 5" in s.row_with("part 5")
