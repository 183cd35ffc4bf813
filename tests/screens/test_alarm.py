"""Time is up, time is past, too long out: what the band says, when the bell rings, what becomes of it."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest_asyncio

from runner.batch.state import Phase
from support.screen import NOW, Stage, stage
from support.sheets import CHROMIUM, DIP, FINAL, NICKEL, RACK, RINSE, sheet


@pytest_asyncio.fixture
async def s(tmp_path: Path) -> AsyncIterator[Stage]:
    """The app at 80×24."""
    async with stage(tmp_path) as it:
        yield it


async def in_chromium(s: Stage) -> str:
    """A rack in the chromium tank, four minutes to go, nothing left to ask."""
    batch = await s.walk(sheet(CHROMIUM, RACK, FINAL))
    await s.press("space", "1", "space")
    await s.sees("LEAVE IT IN")
    return batch


async def test_the_band_stays_and_the_bell_rings_until_a_hand_acknowledges(s: Stage) -> None:
    """The alarm is a sentence, not a colour; space first says that it was heard, then that it is out."""
    batch = await in_chromium(s)
    await s.wait(239)
    assert not s.app.rung
    await s.wait(1)
    assert "▲ TIME IS UP: LIFT OUT" in s.rows()[NOW]
    assert len(s.app.rung) == 1
    await s.wait(5)
    assert "▲ TIME IS UP: LIFT OUT" in s.rows()[NOW]
    assert len(s.app.rung) == 2
    await s.press("space")
    await s.sees("heard. Press space when it is out.")
    await s.wait(10)
    assert len(s.app.rung) == 2
    assert s.state(batch).phase is Phase.IN_STEP
    await s.press("space")
    assert s.state(batch).phase is Phase.BETWEEN


async def test_the_bell_rings_on_the_board_and_over_a_question(s: Stage) -> None:
    """Looking elsewhere silences nothing; behind a window the band goes on being true."""
    await in_chromium(s)
    await s.press("n")
    await s.sees("Note")
    await s.wait(241)
    assert s.app.rung
    await s.sees("TIME IS UP")
    await s.press("escape", "b")
    rung = len(s.app.rung)
    await s.wait(5)
    assert len(s.app.rung) == rung + 1
    assert "▲" in s.row_with("lift from Chromium")
    assert "over by" in s.row_with("lift from Chromium")


async def test_an_overstay_is_taken_and_shown_and_asks_its_reason_at_a_quiet_moment(s: Stage) -> None:
    """What went wrong is a deviation with a number; its reason is not asked while the rack drips."""
    batch = await in_chromium(s)
    await s.wait(400)
    assert "TIME IS PAST" in s.rows()[NOW]
    assert "past its latest time" in s.text()
    await s.press("space", "space")
    assert s.state(batch).deviations
    await s.press("1")
    await s.sees("BEGIN")
    await s.press("space")
    await s.press("1")
    await s.sees("SAY WHY", "REASON")
    await s.press("space")
    await s.sees("Why?")
    await s.type("the hoist stood still")
    await s.press("enter")
    await s.until(lambda: s.state(batch).deviations[0].reason is not None, "the reason was written")


async def test_a_late_transfer_says_how_to_rescue_the_rack_and_hurries_nobody(s: Stage) -> None:
    """Too long out: the line says by how much and what to do; going in is taken at once, as a deviation."""
    batch = await s.walk(sheet(RINSE, CHROMIUM, FINAL))
    await s.press("space", "1")
    await s.sees("PUT IT INTO RINSE 4")
    await s.press("space")
    await s.wait(20)
    await s.press("space")
    await s.sees("out of the tank", "of 30 s")
    await s.wait(40)
    assert "OUT TOO LONG" in s.rows()[NOW]
    assert "No hurry now: re-activate" in s.rows()[NOW]
    await s.press("space")
    assert s.state(batch).phase is Phase.IN_STEP
    assert s.state(batch).deviations


async def test_cautions_are_read_one_by_one_each_with_its_own_digit(s: Stage) -> None:
    """Leaning on one key reads nothing away, escape confirms nothing, and all together are kept."""
    batch = await s.walk(sheet(RACK, NICKEL, FINAL))
    await s.press("space", "1")
    await s.type("4")
    await s.press("enter", "space")
    await s.sees("Current on before the rack goes in", "1 of 3")
    await s.press("1", "1", "space", "enter")
    await s.sees("Anode bags whole", "2 of 3")
    await s.press("escape")
    assert not s.state(batch).confirmed
    await s.press("space", "1", "2", "3")
    assert [number for number, _ in s.state(batch).confirmed] == [2]


async def test_cautions_are_asked_in_the_step_before_and_never_between_tanks(s: Stage) -> None:
    """While the rack drips against its limit the one thing asked is where it goes."""
    batch = await s.walk(sheet(NICKEL, CHROMIUM, FINAL))
    await s.type("4")
    await s.press("enter")
    await s.press("space", "1", "2", "3", "space")
    await s.type("40")
    await s.press("enter")
    assert "READ THE CAUTIONS before step 2" in s.rows()[NOW]
    await s.press("f", each_s=2.0)
    assert s.state(batch).phase is Phase.BETWEEN
    assert "PUT IT INTO CHROMIUM" in s.rows()[NOW]


async def test_short_steps_run_by_one_key(s: Stage) -> None:
    """A dip of thirty seconds has no alarm to acknowledge first: the same press lifts."""
    batch = await s.walk(sheet(DIP, RINSE, FINAL))
    await s.press("space", "1", "space")
    await s.wait(30)
    assert "TIME IS UP" in s.rows()[NOW]
    await s.press("space")
    assert s.state(batch).phase is Phase.BETWEEN
