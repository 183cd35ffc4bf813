"""The walk in big print: what to do now, the clock, the amps and the tank, in letters of four rows.

Owns which words are drawn big. What is drawn big stands beside it in plain words too: a word of one glance
is not the whole sentence.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from dataclasses import dataclass

from textual.content import Content
from textual.geometry import Size

from runner.screens.big_letters import ROWS, big
from runner.screens.walk_parts import height
from runner.screens.words import Walk
from runner.text import shown

HEAD_AND_KEYS, BLOCK_ROWS = 2, 6

LEAST_LINES, LEAST_CELLS = 24, 80
"""Below these there is no room for big print, and the walk stays as it is."""

_WORDS = {
    "answer": "answer",
    "confirm": "cautions",
    "wait": "leave it in",
    "lift": "work",
    "enter": "begin",
    "resume": "paused",
    "override": "barred",
    "explain": "say why",
    "settle": "settle",
    "sign": "sign",
    "release": "release",
    "none": "done",
}
"""What each kind of action is in a word or three."""


@dataclass(frozen=True, slots=True)
class Large:
    """The rows of the walk's upper part in big print; `tank` is empty where that stands in plain letters."""

    now: list[str]
    tank: list[str]
    block: list[str]


def large_of(view: Walk, trouble: str | None, lines: Mapping[str, Content], size: Size) -> Large | None:
    """The upper part of the walk in big print; None where the terminal is too small for it.

    Args:
        view: The walk in words.
        trouble: What is said in place of what to do now, or None.
        lines: Of the lower part: what can hurt and what is asked goes before the size of the tank's name.
        size: Of the terminal.
    """
    if size.height < LEAST_LINES or size.width < LEAST_CELLS:
        return None
    word, sentence = now_of(view, trouble, size.width)
    needed = sum(height(lines[name]) for name in ("danger", "wear", "asked", "choices"))
    room = size.height - HEAD_AND_KEYS - len(sentence) - BLOCK_ROWS - 1 - len(word)
    if needed > room:
        word, room = [], room + len(word)
    tank = tank_of(view, size.width)
    if needed > room - len(tank) + 1:
        tank = []
    return Large([*word, *sentence], tank, block_of(view, size.width))


_GAP = 4
"""Cells between the clock and the amps at least."""


def word_of(view: Walk) -> str:
    """What to do now, in a word or three."""
    if "LIFT OUT" in view.now:
        return "lift out"
    if "TOO LONG" in view.now:
        return "too long"
    if "OUTSIDE" in view.now:
        return "outside"
    if "PUT IT INTO" in view.now:
        return "put it in"
    return _WORDS[view.action.name]


def now_of(view: Walk, trouble: str | None, width: int) -> tuple[list[str], list[str]]:
    """What to do now: in a big word, and the whole sentence that stands below it."""
    sentence = textwrap.wrap(shown(trouble or view.now), max(10, width - 2))
    return big("not written" if trouble else word_of(view), width - 2) or [], sentence


def tank_of(view: Walk, width: int) -> list[str]:
    """The step's tank or name, big; nothing where it does not fit, or has letters that are not drawn."""
    place = view.tank.partition(",")[0]
    name = place if place and place != "by hand" else view.step
    return big(name, width - 2) or big(view.step, width - 2) or []


def block_of(view: Walk, width: int) -> list[str]:
    """The clock at the left, the amps to set at the right, each under its word; six rows."""
    amps = (
        next((value for label, value in view.figures.rows if label == "set"), "").partition("  ")[0].strip()
    )
    rest = [f"{label} {value}" for label, value in view.figures.rows if label != "set"]
    clock = big(view.face, width // 2) or [view.face, *[""] * (ROWS - 1)]
    left = max((len(row) for row in (*clock, view.over)), default=0) + _GAP
    figure = big(amps, width - left - 2) or [amps, *[""] * (ROWS - 1)]
    under = shown("   ".join(rest), max(1, width - max(left, len(view.under) + _GAP) - 2))
    return [
        f"{view.over:<{left}}{'set' if amps else ''}".rstrip(),
        *(f"{one:<{left}}{other}".rstrip() for one, other in zip(clock, figure, strict=True)),
        f"{view.under:<{max(left, len(view.under) + _GAP)}}{under}".rstrip(),
    ]
