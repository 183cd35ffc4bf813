"""What is really painted on a screen: each run of characters with its two colours, as a terminal gets it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from rich.color import Color, ColorSystem
from rich.color_triplet import ColorTriplet
from rich.palette import Palette
from textual.color import Color as Colour

from runner.screens.app import TankwalkApp

MAIN, ELSEWHERE, DRAWN = 7.0, 4.5, 3.0
"""The walk's main text, all other text, and what is only drawn: rules, bars, borders."""

LINES = set(" ─│╭╮╰╯━╺╸▁▔▂▎▏▕▊█▀▄┃┏┓┗┛┳┻╹╻")
"""Signs that are drawn, not read. The halves that big letters are made of are read: they are main text."""

VGA = Palette(
    [
        (0, 0, 0),
        (170, 0, 0),
        (0, 170, 0),
        (170, 85, 0),
        (0, 0, 170),
        (170, 0, 170),
        (0, 170, 170),
        (170, 170, 170),
        (85, 85, 85),
        (255, 85, 85),
        (85, 255, 85),
        (255, 255, 85),
        (85, 85, 255),
        (255, 85, 255),
        (85, 255, 255),
        (255, 255, 255),
    ]
)
"""The sixteen colours of a text terminal (IBM VGA text mode, from memory)."""


@dataclass(frozen=True, slots=True)
class Run:
    """Characters of one row in one pair of colours."""

    row: int
    text: str
    front: str
    back: str


def painted(app: TankwalkApp, *, sixteen: bool = False) -> Iterator[Run]:
    """Every run of characters that are not blank, the window on top included.

    Args:
        app: Running.
        sixteen: As a terminal of sixteen colours gets them.
    """
    update: Any = app.screen._compositor.render_update(full=True, screen_stack=app._background_screens)
    for row, strips in enumerate(update.strips):
        for segment in (segment for strip in strips for segment in strip):
            if segment.text.strip() and segment.style is not None:
                style = segment.style
                front, back = _hex(style.color, sixteen=sixteen), _hex(style.bgcolor, sixteen=sixteen)
                if style.reverse:
                    front, back = back, front
                yield Run(row, segment.text, front, back)


def _hex(colour: Color | None, *, sixteen: bool) -> str:
    assert colour is not None, "a colour of the terminal's own would be left to chance"
    if not sixteen:
        return colour.get_truecolor().hex
    number = colour.downgrade(ColorSystem.STANDARD).number
    assert number is not None
    triplet: ColorTriplet = VGA[number]
    return triplet.hex


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour, WCAG 2.2 (from memory)."""
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in Colour.parse(colour).normalized
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(first: str, second: str) -> float:
    """Contrast ratio of two colours, WCAG 2.2 (from memory)."""
    light, dark = sorted((luminance(first), luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def too_faint(runs: list[Run], least: float) -> list[tuple[float, Run]]:
    """What is painted in less contrast than it needs."""
    told = []
    for run in runs:
        needs = DRAWN if set(run.text) <= LINES else least
        if (found := contrast(run.front, run.back)) < needs:
            told.append((round(found, 2), run))
    return told
