"""What can hurt is never cut off at 80×24 on any demo route; sizes change and nothing is lost."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from msgspec.structs import replace

from runner.batch.state import Phase, StepRun
from runner.cli.example import example_files
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.procedure.sheet import PlannedCheck, PlannedStep
from runner.procedure.surface_explain import with_surfaces
from runner.procedure.surface_walk import follow
from runner.screens.keys import Key, fitting
from runner.screens.walk_lines import MORE, lines_of
from runner.screens.walk_parts import height
from runner.screens.words import walk
from runner.shop.finding import SHOP_FILE
from runner.shop.reading import load_shop
from support.batches import Walker
from support.screen import stage
from support.sheets import CHROMIUM, FINAL, NICKEL, RACK, sheet

ROOM_AT_80X24 = 13
"""Rows below the block on a terminal of the least size that a shop's has."""

FILES = sorted(file for file in example_files().glob("*.toml") if file.name != SHOP_FILE)


def steps_of(file: Path, folder: Path) -> tuple[PlannedStep, ...]:
    """The planned steps of a demo route, for a small load."""
    shutil.copytree(file.parent, folder / "procedures")
    shop = load_shop(folder)
    return compute(load_procedure(folder / "procedures" / file.name, shop), shop, Order(1.0, 1)).steps


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_dangers_gear_and_the_question_fit_at_every_step_of_every_demo_route(
    file: Path, tmp_path: Path
) -> None:
    """Together with the longest check asked in the step they take at most the rows that are there."""
    steps = steps_of(file, tmp_path)
    for step, after in zip(steps, (*steps[1:], None), strict=True):
        walker = Walker(steps=(replace(step, number=1),))
        lines = lines_of(walk(walker.state, walker.now), 80, None, "", "")
        ahead = [check for check in after.checks if check.when == "before"] if after else []
        asked = max((_rows(check) for check in (*step.checks, *ahead)), default=1)
        assert height(lines["danger"]) + height(lines["wear"]) + asked <= ROOM_AT_80X24, step.name


def _rows(check: PlannedCheck) -> int:
    """Rows of a question: its choices below it, or a second row for a long one with its window."""
    return 1 + len(check.choices) if check.choices else 2


async def test_what_cannot_fit_says_so_and_d_shows_all_of_it(tmp_path: Path) -> None:
    """On twelve rows a long danger is cut with a word about it, never silently; d has the whole."""
    long = replace(CHROMIUM, hazards=tuple(f"Danger number {n} of this tank is told." for n in range(12)))
    async with stage(tmp_path, size=(40, 12)) as s:
        await s.walk(sheet(long, FINAL))
        assert MORE.format("d") in s.text()
        await s.press("d")
        await s.sees("Danger number 0")
        for _ in range(40):
            await s.press("down")
        await s.sees("WEAR")


async def test_what_comes_next_stands_beside_the_step_where_its_line_has_no_room(tmp_path: Path) -> None:
    """Dangers take the rows of an 80×24; where they do not, the line stands in its own place."""
    long = replace(CHROMIUM, hazards=tuple(f"Danger number {n} of this tank is told." for n in range(18)))
    async with stage(tmp_path) as s:
        await s.walk(sheet(long, FINAL))
        assert "NEXT 2  Final look" in s.row_with(long.name.upper())
        assert [row for row in s.rows() if row.startswith(" NEXT")] == []
        await s.pilot.resize_terminal(80, 40)
        await s.until(lambda: any(row.startswith(" NEXT") for row in s.rows()), "there was room")
        assert "NEXT" not in s.row_with(long.name.upper())


async def test_resizing_there_and_back_keeps_the_place_and_what_was_typed(tmp_path: Path) -> None:
    """80×24, 40×12, 120×40 and back: the same screen, the digits still in the line."""
    async with stage(tmp_path) as s:
        await s.walk(sheet(NICKEL, RACK, FINAL))
        await s.type("3.9")
        before = s.text()
        for width, rows in ((40, 12), (120, 40), (80, 24)):
            await s.pilot.resize_terminal(width, rows)
            await s.settled()
            await s.sees("▸ 3.9", "DANGER", "BRIGHT NICKEL")
            assert len(s.rows()) == rows
        await s.until(lambda: s.text() == before, "it looked as before")


KEYS = (
    Key("space", "back in, go on"),
    Key("f", "it is out now"),
    *(Key(cap, does) for cap, does in (("n", "note"), ("t", "trouble"), ("b", "board"), ("?", "help"))),
)


@pytest.mark.parametrize("width", [40, 60, 80, 120])
def test_the_key_line_never_runs_over_the_edge(width: int) -> None:
    """What has no room goes whole, and the first and the last, which shows the rest, stay."""
    kept = fitting(KEYS, width)
    assert len("".join(f" {key.cap}  {key.does}  " for key in kept).rstrip()) <= width
    assert (kept[0], kept[-1]) == (KEYS[0], KEYS[-1])


@pytest.mark.parametrize(
    ("keys", "title"),
    [((), "The board"), (("o",), "Open a batch"), (("r",), "Records"), (("u",), "People")],
    ids=["board", "opening", "records", "people"],
)
async def test_help_is_there_on_every_screen_and_one_key_leaves_it(
    tmp_path: Path, keys: tuple[str, ...], title: str
) -> None:
    """? lists each key of the screen; ? again, or escape, goes back to it."""
    async with stage(tmp_path) as s:
        await s.press(*keys)
        await s.press("question_mark")
        await s.sees(title, "escape: back")
        await s.press("question_mark")
        await s.until(lambda: "escape: back" not in s.text(), "help was left")


@pytest.mark.parametrize("leaves", ["b", "escape"])
@pytest.mark.parametrize(
    ("key", "title"), [("o", "which procedure?"), ("r", "Records"), ("u", "People")], ids=str
)
async def test_one_key_comes_back_to_the_board(tmp_path: Path, key: str, title: str, leaves: str) -> None:
    """From each screen that the board opens, b and escape alike."""
    async with stage(tmp_path) as s:
        await s.press(key)
        await s.sees(title)
        await s.press(leaves)
        await s.sees("No batch is open")


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_what_the_surface_is_after_the_last_step_stands_in_the_walk(file: Path, tmp_path: Path) -> None:
    """The walk says of the part what `check --explain` says after that step, all along every demo route."""
    shutil.copytree(file.parent, tmp_path / "procedures")
    shop = load_shop(tmp_path)
    procedure = load_procedure(tmp_path / "procedures" / file.name, shop)
    plan = compute(procedure, shop, Order(1.0, 1))
    for step in with_surfaces(plan, follow(procedure, shop, plan.basis[0])).steps:
        walker = Walker(steps=(replace(step, number=1), replace(RACK, number=2)))
        run = StepRun(1, 1, walker.now, "otto", left=walker.now)
        left = replace(walker.state, phase=Phase.BETWEEN, runs=(run,), next_step=2)
        part = lines_of(walk(left, walker.now), 80, None, "", "")["part"]
        assert step.surface
        assert "".join(part.plain.split()) == "PARTasplanned:" + "".join(step.surface.split())
