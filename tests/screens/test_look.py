"""Contrast of every pair of colours, by the formula of WCAG 2.2 (relative luminance, from memory)."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from textual.theme import Theme

from runner.screens.look import THEMES
from support.painted import contrast
from support.screen import screen_text, stage
from support.sheets import NICKEL, RACK, sheet

MAIN, ELSEWHERE = 7.0, 4.5
"""WCAG 2.2, success criteria 1.4.6 and 1.4.3 (from memory)."""


def colour(theme: Theme, name: str) -> str:
    """A colour of a theme by the name that the style sheet uses."""
    own = theme.variables.get(name) or getattr(theme, name)
    assert isinstance(own, str)
    return own


def test_the_formula_gives_the_known_ends() -> None:
    """Black on white is 21 to 1, a colour on itself 1 to 1 (WCAG 2.2, from memory)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == pytest.approx(1)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize(
    ("front", "back", "least"),
    [
        ("foreground", "background", MAIN),
        ("error", "background", MAIN),
        ("must", "background", MAIN),
        ("warning", "background", MAIN),
        ("quiet", "background", ELSEWHERE),
        ("foreground", "panel", MAIN),
        ("quiet", "panel", ELSEWHERE),
        ("warning", "panel", ELSEWHERE),
        ("background", "warning", ELSEWHERE),
        ("background", "error", ELSEWHERE),
        ("background", "foreground", MAIN),
    ],
)
def test_every_pair_can_be_read(theme: Theme, front: str, back: str, least: float) -> None:
    """The walk's main text at 7 to 1, everything else, bands too, at 4.5 to 1 or better."""
    assert contrast(colour(theme, front), colour(theme, back)) >= least


async def test_without_colours_the_screen_says_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every state has its word or sign: NO_COLOR changes no character, nor does a theme."""
    texts = set()
    for name, themes in (("plain", 0), ("none", 0), ("light", 1), ("contrast", 2)):
        if name == "none":
            monkeypatch.setenv("NO_COLOR", "1")
        async with stage(tmp_path / name) as s:
            await s.walk(sheet(NICKEL, RACK))
            for _ in range(themes):
                await s.press("f2", each_s=0)
            await s.settled()
            texts.add(screen_text(s.app))
        monkeypatch.delenv("NO_COLOR", raising=False)
    assert len(texts) == 1


def test_the_walks_words_need_no_screen_library() -> None:
    """What the walk says can be read, and tested, where no screen library is loaded."""
    code = "import sys, runner.screens.words; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert not {"textual", "rich"} & {name.split(".")[0] for name in done.stdout.split()}
