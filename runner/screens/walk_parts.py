"""The parts that the walk screen is made of: the block with the large clock, and the lines below it.

Owns how a `words.Walk` is drawn. Each part redraws only what has changed: a terminal's cost is what is
repainted, not what is reckoned.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Digits, Static

from runner.screens.words import Walk
from runner.screens.words_figures import Figures

SHORT_FIGURES = 2
"""How many figures stand beside the clock on a small terminal: what is set, and what was read."""

BAR_CELLS = 24
"""Width of the bar that fills with the deposit."""


class Line(Static):
    """A line, or some, repainted only when the text changes; it comes broken into rows that fit."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002  # Textual's name
        super().__init__(id=id, classes=classes)
        self._said: Content | None = None

    def say(self, content: Content) -> None:
        """Show this, if it is not shown already; only another count of rows has the screen laid out anew."""
        if self._said is None or content != self._said:
            as_high = self._said is not None and height(content) == height(self._said)
            self._said = content
            self.update(content, layout=not as_high)


class TankBlock(Horizontal):
    """The large clock on the left, the figures on the right."""

    DEFAULT_CSS = """
    TankBlock > #clock { width: 36; padding: 0 1; }
    TankBlock Digits { height: 3; text-style: bold; }
    TankBlock > #figures, TankBlock > #short, TankBlock > #large { width: 1fr; height: auto; }
    TankBlock > #large { display: none; text-style: bold; }
    """

    def __init__(self) -> None:
        super().__init__()
        # Kept here: a screen is drawn before its parts' parts are in the tree.
        self._over, self._under = Line(id="over"), Line(id="under")
        self._face = Digits("", id="face")
        self._beside, self._short = Line(id="figures"), Line(id="short")
        self._large = Line(id="large")
        self.short_rows = 0

    def compose(self) -> ComposeResult:
        with Vertical(id="clock"):
            yield self._over
            yield self._face
            yield self._under
        yield self._beside
        yield self._short
        yield self._large

    def say(self, view: Walk, large: Sequence[str], most_rows: int) -> None:
        """Draw the clock and the figures.

        Args:
            view: The walk in words.
            large: The rows of big print, or none.
            most_rows: That there is room for on a small terminal; the clock goes last.
        """
        self._large.say(Content("\n".join(f" {row}" for row in large)))
        self._over.say(Content(view.over))
        self._under.say(Content(view.under))
        if self._face.value != view.face:
            self._face.update(view.face)
        self._beside.say(_figures(view.figures))
        clock = f"{view.over} {view.face}, {view.under}".strip(", ")
        figures = "   ".join(f"{label} {value}" for label, value in view.figures.rows[:SHORT_FIGURES])
        rows = [
            row for text in (clock, figures) for row in textwrap.wrap(text, max(10, self.app.size.width - 2))
        ]
        rows = rows[: max(0, most_rows)]
        self.short_rows = len(rows)
        self._short.set_class(not rows, "hidden")
        self._short.say(Content("\n").join(Content.styled(f" {row}", "bold") for row in rows))


def _figures(figures: Figures) -> Content:
    lines: list[Content] = []
    for label, value in figures.rows:
        style = "bold" if label == "set" else ""
        lines.append(Content.assemble((f"{label:<8}", "$quiet"), (value, style)))
    if figures.share is not None:
        full = round(figures.share * BAR_CELLS)
        bar = "━" * full + "─" * (BAR_CELLS - full)
        lines.append(Content.assemble((f"{'':<8}", ""), bar, f" {figures.share * 100:.0f} %"))
    return Content("\n").join(lines)


LABEL_CELLS = 9
"""Room for the word in front of a line; a long line goes on under its text, not under its word."""


def labelled(label: str, text: str, width: int, style: str = "", label_style: str = "$quiet") -> Content:
    """Lines with their word in front: DANGER, WEAR, DO, CHECK, WHY, NEXT; nothing where there is no text."""
    if not text:
        return Content("")
    room = max(10, width - LABEL_CELLS - 1)
    first, *rest = textwrap.wrap(text, room) or [""]
    lines = [Content.assemble((f" {label:<{LABEL_CELLS - 1}}", label_style), (first, style))]
    lines += [Content.assemble(" " * LABEL_CELLS, (line, style)) for line in rest]
    return Content("\n").join(lines)


def height(content: Content) -> int:
    """Rows that a block of lines takes; none where it is empty."""
    return content.plain.count("\n") + 1 if content.plain else 0
