"""Markup, escapes and turned text from people and files: shown as plain text, never read as anything else."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from runner.batch.state import Phase
from runner.procedure.sheet import PlannedCheck
from runner.screens.words import walk
from runner.text import shown
from support.bookings import typed
from support.screen import Stage, stage
from support.sheets import DIP, FINAL, NICKEL, RACK, sheet

MARKUP = "[red]x[/red] [@click=app.leave]y[/] [bold"
ESCAPES = "\x1b[31mred\x1b[0m\x1b]52;c;aGk=\x07"
C1, TURNED = "a\x9b31mb", "abc\u202edef\u2066g"
HOSTILE = {"markup": MARKUP, "escapes": ESCAPES, "c1": C1, "turned": TURNED}


def raw(text: str) -> list[str]:
    """Characters in a screen that a terminal would obey."""
    return [c for c in text if c != "\n" and (ord(c) < 32 or 127 <= ord(c) < 160 or c in "\u202e\u2066")]


async def _noted(s: Stage, text: str) -> str:
    """Paste a text into a note and keep it; gives back what the screen then shows."""
    await s.press("n")
    await s.sees("Note")
    await s.paste(text)
    shown = s.text()
    await s.press("enter")
    return shown


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
async def test_a_hostile_note_moves_no_cursor_and_is_kept_as_text(tmp_path: Path, text: str) -> None:
    """Pasted, it stands in the field and in the record as text, control characters as their codes."""
    async with stage(tmp_path) as s:
        batch = await s.walk(sheet(RACK, FINAL))
        assert not raw(await _noted(s, text))
        await s.settled()
        await s.until(lambda: bool(s.state(batch).notes), "it was kept")
        assert s.state(batch).notes[0].text == shown(text)
        assert not raw(s.text())


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
async def test_a_hostile_part_in_a_booking_is_shown_as_text_or_refused(tmp_path: Path, text: str) -> None:
    """Every field of the booking takes the same care; the plan and the walk show brackets as brackets."""
    async with stage(tmp_path) as s:
        await s.press("o", "1")
        await s.sees("Plated area of one piece")
        hostile = dict.fromkeys(("part", "customer", "ratio", "strength", "hollow", "blind"), text)
        for field in typed(**hostile):
            if field:
                await s.paste(field)
            assert not raw(s.text())
            await s.press("enter")
        await s.sees("Thinnest over mean")
        await s.sees("no ratio", "neither yes nor no")
        assert not raw(s.text())


@pytest.mark.parametrize("text", [MARKUP], ids=["markup"])
async def test_markup_in_a_plan_and_a_part_is_drawn_as_it_is_written(tmp_path: Path, text: str) -> None:
    """Names, hazards, cautions, checks, reasons: each place of the walk, the board and the windows."""
    step = replace(
        RACK,
        name=text[:14],
        do=text,
        why=text,
        hazards=(text,),
        ppe=(text,),
        confirm=(),
        checks=(PlannedCheck(text, "during", choices=(text, "other"), accept=("other",)),),
    )
    async with stage(tmp_path, notice=text) as s:
        batch = await s.open(
            sheet(step, replace(DIP, confirm=(text,), name=text[:14]), FINAL), part=text[:20]
        )
        await s.settled()
        await s.wait(1)
        assert "· [red]x[/red] [@click" in s.row_with("next: [red]x[/red] [")
        await s.sees(text)
        await s.press("1", "space")
        await s.sees("[red]x[/red] [@click=app")
        assert s.text().count(text) >= 4
        await s.press("1")
        await s.press("t")
        await s.paste(text)
        await s.press("enter", "space")
        await s.sees(text)
        await s.press("1", "escape")
        assert s.state(batch).runs[-1].answers[0].choice == text


def test_control_characters_in_a_plan_come_out_as_their_codes() -> None:
    """Where a forged journal holds them after all, the walk's words hold none."""
    from support.batches import Walker  # noqa: PLC0415  # its own walk in memory

    bad = ESCAPES + C1 + TURNED
    step = replace(NICKEL, name=bad, do=bad, why=bad, hazards=(bad,), ppe=(bad,), tank_title=bad, signal=bad)
    walker = Walker(steps=(replace(step, number=1),))
    for view in (walk(walker.state, walker.now),):
        for field in ("title", "step", "tank", "now", "danger", "wear", "do", "why", "next", "signal"):
            assert not raw(getattr(view, field)), field


async def test_keys_of_other_alphabets_end_nothing(tmp_path: Path) -> None:
    """A superscript two is a digit to some and no number to others: on every screen it does nothing."""
    async with stage(tmp_path) as s:
        batch = await s.walk(sheet(replace(RACK, tank="rinse", tank_title="Rinse 4"), FINAL))
        await s.press("space")
        await s.type("²١é€")
        await s.press("p")
        await s.sees("Where is the rack?")
        await s.type("²")
        await s.press("escape", "b")
        await s.type("²")
        await s.press("o")
        await s.type("²")
        await s.sees("which procedure?")
        assert s.floor.hold(batch).state.phase is Phase.IN_STEP
