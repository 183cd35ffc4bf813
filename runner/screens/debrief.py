"""The debrief after a practice walk: what was thrown in, noticed and missed, and why it matters.

Owns how its lines are drawn; what they say is the batch room's.
"""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from runner.screens.keys import Key, KeyLine

KEYS = (Key("space", "leave"), Key("↑ ↓", "read on"))


class DebriefScreen(Screen[None]):
    """The debrief, to be read at leisure.

    Args:
        lines: It, line by line; the first is its title.
    """

    DEFAULT_CSS = (
        "DebriefScreen VerticalScroll { height: 1fr; padding: 0 1; } DebriefScreen .inner { padding: 0 2; }"
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter,escape,q", "app.leave", "leave", priority=True)
    ]

    def __init__(self, lines: tuple[str, ...]) -> None:
        super().__init__()
        self._lines = lines

    def compose(self) -> ComposeResult:
        title, *rest = self._lines
        with VerticalScroll():
            yield Static(Content.styled(title, "bold"))
            for line in rest:
                yield Static(Content(line.strip() or " "), classes="inner" if line.startswith(" ") else "")
        yield KeyLine()

    def on_mount(self) -> None:
        """Keys at the foot; the arrows move the page."""
        self.query_one(KeyLine).say(KEYS)
        self.query_one(VerticalScroll).focus()
