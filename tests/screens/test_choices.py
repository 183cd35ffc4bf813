"""The choices of a check: each of them is on the screen, whatever the size of the terminal."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from runner.procedure.sheet import PlannedCheck, PlannedStep
from support.screen import stage
from support.sheets import CHROMIUM, FINAL, RACK, sheet

WORDS = ("even, bright", "burnt edge", "dull", "pitted", "bare spot", "rough", "cloudy", "peeled", "stained")


@pytest.mark.parametrize("count", [2, 4, 6, 9])
@pytest.mark.parametrize("size", [(40, 12), (60, 18), (80, 24)], ids=str)
@pytest.mark.parametrize("step", [RACK, CHROMIUM], ids=["by hand", "in a tank"])
async def test_every_choice_has_its_digit_and_words_on_the_screen(
    tmp_path: Path, size: tuple[int, int], count: int, step: PlannedStep
) -> None:
    """From the least terminal on, in a step with dangers too: what its digit takes can be read."""
    look = PlannedCheck(
        "How does it look now, at the edge and in the middle", "during", choices=WORDS[:count]
    )
    asked = replace(step, checks=(look,), confirm=())
    async with stage(tmp_path, size=size) as s:
        await s.walk(sheet(asked, FINAL))
        await s.press("space")
        await s.sees("LOOK ", *(f" {n}  {word[:6]}" for n, word in enumerate(WORDS[:count], start=1)))
        assert ("DANGER" in s.text()) is (step is CHROMIUM)
        assert "help" in s.rows()[-1]


async def test_four_choices_are_whole_on_the_least_terminal(tmp_path: Path) -> None:
    """Clock and figures go before a choice is cut."""
    look = PlannedCheck("Colour", "during", choices=WORDS[:4])
    async with stage(tmp_path, size=(40, 12)) as s:
        await s.walk(sheet(replace(CHROMIUM, checks=(look,), confirm=()), FINAL))
        await s.press("space")
        await s.sees(*(f" {number}  {word}" for number, word in enumerate(WORDS[:4], start=1)))
