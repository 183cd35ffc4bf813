"""The key that notes a rack out of a tank or into the next: once for each move of each rack."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from runner.batch.state import Phase
from support.screen import Stage, stage
from support.sheets import FINAL, NICKEL, RINSE, sheet

PLAIN = replace(NICKEL, confirm=(), checks=())


async def in_tank(s: Stage, part: str) -> str:
    """A rack in nickel, its walk on the screen, and time gone by since."""
    batch = await s.open(sheet(PLAIN, RINSE, FINAL), part=part)
    s.app.to_walk(batch)
    await s.sees(part, "PUT IT INTO")
    await s.press("space")
    await s.sees("LEAVE IT IN")
    await s.wait(5)
    return batch


async def test_a_second_press_of_f_does_not_put_the_rack_into_the_next_tank(tmp_path: Path) -> None:
    """Out of one tank and into the next takes longer than a hand's second press, and the line says so."""
    async with stage(tmp_path) as s:
        batch = await in_tank(s, "irons")
        await s.press("f")
        await s.press("f", each_s=1.0)
        assert s.state(batch).phase is Phase.BETWEEN
        await s.sees("noted once")
        await s.press("f", each_s=1.0)
        assert s.state(batch).phase is Phase.IN_STEP


async def test_the_large_key_and_f_count_a_move_once_between_them(tmp_path: Path) -> None:
    """Out by f and at once in by space would be a rinse that never was; so would the other way."""
    async with stage(tmp_path) as s:
        batch = await in_tank(s, "irons")
        await s.press("f")
        await s.press("space", each_s=0.7)
        assert s.state(batch).phase is Phase.BETWEEN
        await s.sees("noted once")
        await s.press("space", each_s=1.0)
        assert s.state(batch).phase is Phase.IN_STEP
        await s.press("space", "f", each_s=0.7)
        assert s.state(batch).phase is Phase.IN_STEP


async def test_a_move_that_the_disk_did_not_take_is_no_first_press(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Pressed again as soon as there is room, it is noted."""
    async with stage(tmp_path) as s:
        batch = await in_tank(s, "irons")
        with monkeypatch.context() as full:
            full.setattr("runner.record.durable.append", no_room)
            await s.press("f")
            await s.sees("NOT WRITTEN")
        await s.press("f")
        assert s.state(batch).phase is Phase.BETWEEN


def no_room(*_: object) -> None:
    """A full disk."""
    raise OSError(28, "No space left on device")


async def test_another_racks_lift_is_noted_however_soon_after_the_first(tmp_path: Path) -> None:
    """Two racks out within a second are two facts, and neither is lost."""
    async with stage(tmp_path) as s:
        one = await in_tank(s, "irons")
        two = await in_tank(s, "rosettes")
        await s.press("f")
        await s.press("b", "1", "f", each_s=0.2)
        assert [s.state(batch).phase for batch in (one, two)] == [Phase.BETWEEN, Phase.BETWEEN]
