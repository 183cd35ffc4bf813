"""The board's rows and keys: which digit opens which rack, and what stands in a row at every width."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_asyncio
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from runner.batch import intents as do
from runner.batch.questions import current_progress
from runner.batch.terms import Where
from runner.procedure.sheet import PlannedStep
from runner.record.standing import Standing
from runner.screens.board_rows import row
from support.batches import Walker
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


LONG = "Book in: look and measure each piece against the drawing"
DIP = PlannedStep(
    1, "Acid dip", "activate", "clock", tank="dip", tank_title="Dip 4", dwell_s=240.0, next_within_s=45.0
)
PLATE = replace(DIP, name="Bright nickel", tank="nickel", tank_title="Nickel 2", polarity="cathodic")
HAND = PlannedStep(2, LONG, "inspect", "hand")


def told(walker: Walker, width: int) -> str:
    """The row of a walker's rack."""
    done = current_progress(walker.state, walker.now)
    return row("3", Standing("2026-0001", walker.state), done, walker.now, width).plain


def entered(step: PlannedStep) -> Walker:
    """A rack that has been in a step for a minute."""
    walker = Walker(steps=(step, HAND))
    walker.do(do.Enter())
    return walker.wait(60)


@pytest.mark.parametrize("width", [40, 60, 80])
def test_a_rack_lifted_in_a_pause_is_paused_against_its_limit(width: int) -> None:
    """Not on its way to the next step: 20 s of the 45 s that its surface stands have gone."""
    walker = entered(PLATE)
    walker.do(do.Interrupt(Where.LIFTED))
    said = told(walker.wait(20), width)
    assert said.startswith(" 3  ‖ ")
    assert " paused" in said
    assert "go to" not in said
    assert said.rstrip().endswith("0:25 left")
    assert told(walker.wait(30), width).rstrip().endswith("0:05 over")


def test_a_dip_s_time_runs_on_through_a_pause_in_its_tank() -> None:
    """Acid works without current: 90 s of 240 s have gone, and later the rack is to be lifted."""
    walker = entered(DIP)
    walker.do(do.Interrupt(Where.IN_TANK))
    said = told(walker.wait(30), 80)
    assert said.startswith(" 3  ‖ ")
    assert "paused in Acid dip" in said
    assert said.endswith("lift in 2:30")
    assert told(walker.wait(200), 80).endswith("over by 0:50")


def test_a_plating_step_s_time_stands_still_in_a_pause() -> None:
    """With the current off nothing is laid down: no time runs, and none is shown."""
    walker = entered(PLATE)
    walker.do(do.Interrupt(Where.IN_TANK))
    said = told(walker.wait(30), 80)
    assert "‖" in said
    assert "paused in Bright nickel" in said
    assert ":" not in said


def test_a_wide_screen_has_room_for_the_name_and_the_tank() -> None:
    """At 120 columns the tank's title has a column, and a long name is not cut at 30 cells."""
    walker = entered(DIP)
    assert "Dip 4" in told(walker, 120)
    assert "Dip 4" not in told(walker, 80)
    walker.do(do.Leave())
    assert "next: Book in: look and measure each" in told(walker, 120)


@given(
    width=st.integers(40, 200),
    stay_s=st.floats(1, 9000),
    what=st.sampled_from(["in", "lifted", "paused", "out"]),
    part=st.text("abc ", min_size=1, max_size=60),
)
def test_a_row_is_one_line_with_its_time_whole(width: int, stay_s: float, what: str, part: str) -> None:
    """Whatever part, name and time: never wider than the screen, and minutes and seconds stand at the end."""
    walker = entered(replace(DIP, name=LONG))
    walker.state = replace(walker.state, opened=replace(walker.state.opened, part=part))
    walker.wait(stay_s)
    match what:
        case "lifted":
            walker.do(do.Interrupt(Where.LIFTED))
        case "paused":
            walker.do(do.Interrupt(Where.IN_TANK))
        case "out":
            walker.do(do.Leave())
        case _:
            pass
    said = told(walker.wait(stay_s), width)
    assert len(said) < width
    assert "\n" not in said
    ends = said.split()[-1], said.split()[-2]
    assert any(len(end.split(":")[-1]) == 2 and end[-2:].isdecimal() for end in ends)


@pytest.mark.parametrize("size", [(40, 12), (60, 20), (80, 24), (120, 40)])
async def test_the_head_s_clock_is_whole_at_every_size(tmp_path: Path, size: tuple[int, int]) -> None:
    """And each rack has one line."""
    async with stage(tmp_path, size=size) as it:
        for number in range(3):
            await it.open(sheet(RACK, FINAL), part=f"rounding boards {number}")
        await it.wait(1)
        assert it.rows()[0].rstrip().endswith("10:00:01")
        assert [line[:6] for line in it.rows()[3:6]] == [" 1  · ", " 2  · ", " 3  · "]
