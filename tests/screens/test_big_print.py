"""Big print: shapes that cannot be taken for one another, and a walk in which nothing is lost for size."""

from __future__ import annotations

from itertools import combinations
from math import atan, degrees
from pathlib import Path

import pytest
from msgspec.structs import replace
from textual.geometry import Size

from runner.procedure.sheet import PlannedStep
from runner.screens.big_letters import DOTS, LETTERS, ROWS, big
from runner.screens.walk_big import large_of, word_of
from runner.screens.walk_lines import lines_of
from runner.screens.words import walk
from support.batches import Walker
from support.screen import stage
from support.sheets import CHROMIUM, DIP, FINAL, NICKEL, RACK, RINSE, sheet

LARGE_ENOUGH_ARCMIN = 16.0
"""Least height of a character, in minutes of arc (ISO 9241-303, from memory)."""


def test_letters_are_high_enough_at_two_metres() -> None:
    """Seven of eight dots of four rows, on a terminal whose row is only 4 mm high, seen from 2 m."""
    height_mm = ROWS * 4.0 * DOTS / 8
    assert degrees(atan(height_mm / 2000)) * 60 >= LARGE_ENOUGH_ARCMIN


@pytest.mark.parametrize("character", LETTERS)
def test_each_shape_is_whole(character: str) -> None:
    """Seven rows of one width, at most five dots."""
    rows = LETTERS[character]
    assert len(rows) == DOTS
    assert {len(row) for row in rows} == {len(rows[0])}
    assert 1 <= len(rows[0]) <= 5
    assert set("".join(rows)) <= {"#", " "}


def dots(character: str) -> set[tuple[int, int]]:
    """Where the dots of a shape are."""
    rows = enumerate(LETTERS[character])
    return {(y, x) for y, row in rows for x, dot in enumerate(row) if dot == "#"}


@pytest.mark.parametrize(("one", "other"), list(combinations("0123456789", 2)))
def test_no_digit_can_be_taken_for_another(one: str, other: str) -> None:
    """At least two dots part any two of them."""
    assert len(dots(one) ^ dots(other)) >= 2


def test_no_two_characters_have_one_shape() -> None:
    """Letters too: O is no 0, I no 1, S no 5, Z no 2."""
    assert len({LETTERS[character] for character in LETTERS}) == len(LETTERS)


def test_a_text_is_drawn_in_four_rows_of_half_blocks_or_not_at_all() -> None:
    """What does not fit, or has no shape, is left to plain letters; marks above letters are left out."""
    rows = big("41:20", 80)
    assert rows is not None
    assert len(rows) == ROWS
    assert set("".join(rows)) <= set(" ▀▄█")
    assert big("41:20", 20) is None
    assert big("铬", 80) is None
    assert big("Überzug", 80) == big("uberzug", 80)


STEPS = (RACK, DIP, NICKEL, RINSE, CHROMIUM, FINAL)


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.name)
def test_size_never_takes_a_danger_or_a_question_away(step: PlannedStep) -> None:
    """At 80 by 24 the lower part keeps the rows that danger, gear and question need."""
    walker = Walker(steps=(replace(step, number=1),))
    view = walk(walker.state, walker.now)
    lines = lines_of(view, 80, None, "", "")
    large = large_of(view, None, lines, Size(80, 24))
    assert large is not None
    needed = sum(
        lines[name].plain.count("\n") + 1
        for name in ("danger", "wear", "asked", "choices")
        if lines[name].plain
    )
    used = 2 + len(large.now) + (len(large.tank) or 1) + len(large.block)
    assert used + needed <= 24
    assert all(len(row) <= 79 for row in (*large.now, *large.tank, *large.block))


def test_the_tanks_name_goes_first_and_then_the_word_where_a_danger_is_long() -> None:
    """Clock and amps stay big; the sentence of what to do stays in any case."""
    walker = Walker(steps=(NICKEL,))
    view = walk(walker.state, walker.now)
    lines = lines_of(view, 80, None, "", "")
    heights = []
    for rows in (1, 7, 9, 12):
        more = {**lines, "danger": lines["danger"].__class__("\n".join(["!"] * rows))}
        large = large_of(view, None, more, Size(80, 24))
        assert large is not None
        heights.append((len(large.now) > 1, bool(large.tank), len(large.block)))
    assert heights[0] == (True, True, 6)
    assert heights[-1] == (False, False, 6)
    assert sorted(heights, reverse=True) == heights


def test_every_action_has_a_word_that_fits() -> None:
    """On each step of a walk there is a big word for what is to be done."""
    walker = Walker(steps=sheet(*STEPS).steps)
    assert big(word_of(walk(walker.state, walker.now)), 78)


async def test_one_key_turns_it_on_and_off_and_a_small_terminal_goes_without(tmp_path: Path) -> None:
    """F3; on 40 by 12 the walk is what it is without; back at 80 by 24 it is big again."""
    async with stage(tmp_path) as s:
        await s.walk(sheet(NICKEL, RACK))
        plain = s.text()
        await s.press("f3", each_s=0)
        await s.sees("█")
        large = s.text()
        assert "READ AND ANSWER" in large
        await s.pilot.resize_terminal(40, 12)
        await s.until(lambda: "█" not in s.text(), "it went small")
        await s.pilot.resize_terminal(80, 24)
        await s.until(lambda: s.text() == large, "it was as before")
        await s.press("f3", each_s=0)
        await s.until(lambda: s.text() == plain, "it is plain again")
