"""Every screen in every theme, in sixteen colours and in none: the contrast of every pair that is painted.

By the formula of WCAG 2.2; levels from its success criteria 1.4.3, 1.4.6 and 1.4.11 (from memory).
"""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest
from textual.color import Color

from runner.screens.look import THEMES
from support.painted import ELSEWHERE, MAIN, contrast, painted, too_faint
from support.scenes import OTHERS, WALKS, Scene, first_start
from support.screen import Stage, stage


async def shown(s: Stage, scene: Scene) -> None:
    """Bring a scene up."""
    s.floor.lock_after_s = 1e6
    await scene(s)
    await s.pilot.pause()


async def in_theme(s: Stage, name: str) -> None:
    """Another theme, drawn."""
    s.app.theme = name
    await s.pilot.pause()
    await s.settled()


@pytest.mark.parametrize("scene", [*WALKS, *OTHERS, first_start], ids=lambda scene: scene.__name__)
async def test_every_pair_that_is_painted_can_be_read(tmp_path: Path, scene: Scene) -> None:
    """In dark, light and high contrast, in each as a terminal of sixteen colours gets it; no word changes.

    What can hurt stays readable behind a window too.
    """
    async with stage(tmp_path, staff=scene is not first_start) as s:
        await shown(s, scene)
        texts = set()
        for theme in THEMES:
            await in_theme(s, theme.name)
            for sixteen in (False, True):
                runs = list(painted(s.app, sixteen=sixteen))
                assert runs
                assert too_faint(runs, ELSEWHERE) == [], (theme.name, sixteen)
            texts.add(s.text())
        assert len(texts) == 1


@pytest.mark.parametrize("scene", WALKS, ids=lambda scene: scene.__name__)
async def test_the_walks_main_text_is_painted_at_7_to_1(tmp_path: Path, scene: Scene) -> None:
    """All of it but what is quiet by choice: labels, why, and what comes next."""
    async with stage(tmp_path) as s:
        await shown(s, scene)
        for theme in THEMES:
            await in_theme(s, theme.name)
            quiet = theme.variables["quiet"].lower()
            runs = [run for run in painted(s.app) if run.front != quiet]
            assert too_faint(runs, MAIN) == [], theme.name


@pytest.mark.parametrize("scene", [*WALKS, *OTHERS, first_start], ids=lambda scene: scene.__name__)
async def test_without_colours_everything_can_be_read(
    tmp_path: Path, scene: Scene, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Under NO_COLOR what is painted is grey, of the same contrast or better."""
    monkeypatch.setenv("NO_COLOR", "1")
    async with stage(tmp_path, staff=scene is not first_start) as s:
        await shown(s, scene)
        runs = list(painted(s.app))
        assert too_faint(runs, ELSEWHERE) == []
        greys = {colour for run in runs for colour in (run.front, run.back)}
        assert all(len({colour[1:3], colour[3:5], colour[5:7]}) == 1 for colour in greys)


async def test_what_to_do_now_stands_out_of_the_walk(tmp_path: Path) -> None:
    """Its line alone has a ground of its own, far from that of the screen, in every theme."""
    async with stage(tmp_path) as s:
        await shown(s, WALKS[0])
        for theme in THEMES:
            await in_theme(s, theme.name)
            runs = list(painted(s.app))
            now = [run for run in runs if "BEGIN" in run.text]
            assert len(now) == 1
            assert contrast(now[0].back, theme.background or "#000000") >= MAIN
            same = {run.row for run in runs if run.back == now[0].back}
            assert same == {now[0].row, 23}, "the line itself, and the caps of the keys at the foot"


async def test_a_kept_screen_takes_up_colours_chosen_while_it_was_away(tmp_path: Path) -> None:
    """The walk, its help and its window for a text are made once, and come up in the board's new theme."""
    async with stage(tmp_path) as s:
        await s.walk()
        for key, words in (("question_mark", "escape: back"), ("n", "enter: keep it")):
            await s.press(key)
            await s.sees(words)
            await s.press("escape")
        seen = {}
        for theme in THEMES:
            await s.press("b")
            await in_theme(s, theme.name)
            await s.press("1")
            await s.sees("space")
            seen[theme.name] = [{run.back for run in painted(s.app)}]
            for key, words in (("question_mark", "escape: back"), ("n", "enter: keep it")):
                await s.press(key)
                await s.sees(words)
                seen[theme.name].append({run.back for run in painted(s.app)})
                await s.press("escape")
        assert all(
            Color.parse(theme.background or "").hex6.lower() in seen[theme.name][0] for theme in THEMES
        )
        for one, other in combinations(THEMES, 2):
            for ours, theirs in zip(seen[one.name], seen[other.name], strict=True):
                assert not ours & theirs - {one.background, other.background}, (one.name, other.name)


RED_SAYS = ("▲", "DANGER", "NO:", "NO ")
"""Signs and words of what can hurt, is past its limit, or bars the way."""


def red_blocks(s: Stage, red: str) -> list[str]:
    """The first row of each block of rows in which something is painted in a theme's red."""
    wanted = Color.parse(red)
    told = set()
    for run in painted(s.app):
        for colour in (Color.parse(run.front), Color.parse(run.back)):
            # The library rounds a colour's parts on its way to the terminal.
            if max(abs(part - other) for part, other in zip(colour.rgb, wanted.rgb, strict=True)) <= 1:
                told.add(run.row)
    rows = s.rows()
    return [rows[row] for row in sorted(told) if row - 1 not in told]


def says_so(row: str) -> bool:
    """Whether a row says why it is red; a window may lie over all but the first letter of it."""
    seen = row.partition("│")[0].strip()
    return any(says in row or (seen and says.startswith(seen)) for says in RED_SAYS)


@pytest.mark.parametrize("scene", [*WALKS, *OTHERS, first_start], ids=lambda scene: scene.__name__)
async def test_red_is_for_danger_and_for_nothing_else(tmp_path: Path, scene: Scene) -> None:
    """Whatever is painted in red, its first row says in a sign or a word what can hurt or is past its limit.

    IEC 60073:2002 (from memory): red is for danger and emergency alone.
    """
    async with stage(tmp_path, staff=scene is not first_start) as s:
        await shown(s, scene)
        dangers = any(" DANGER " in row for row in s.rows())
        for theme in THEMES:
            await in_theme(s, theme.name)
            begins = red_blocks(s, theme.error or "")
            assert [row for row in begins if not says_so(row)] == []
            assert begins or not dangers
