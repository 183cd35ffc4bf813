"""The phone rings in a practice walk: a screen that takes the walk away, and asks.

Owns nothing but the asking. There is no way round it by escape: a phone is not dismissed either.
"""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from runner.text import shown


class PhoneScreen(Screen[int]):
    """One of a few, by its digit, in place of the walk; gives back the index from 0.

    Args:
        title: What happens.
        ask: What is asked.
        options: At most nine.
    """

    def __init__(self, title: str, ask: str, options: tuple[str, ...]) -> None:
        super().__init__()
        self._title, self._question, self._options = title, ask, options[:9]

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" PRACTICE", "bold"))
        yield Static(Content.styled(f"\n ♪ {shown(self._title, 60)}\n", "bold"))
        yield Static(Content(f" {shown(self._question, 70)}"))
        for number, option in enumerate(self._options, start=1):
            yield Static(Content.assemble("  ", (f" {number} ", "reverse"), f" {shown(option, 66)}"))
        yield Static(Content("\n a digit: choose"), classes="quiet")

    def on_key(self, event: events.Key) -> None:
        """A digit chooses."""
        digit = event.character or ""
        if digit.isdecimal() and 1 <= int(digit) <= len(self._options):
            event.stop()
            self.dismiss(int(digit) - 1)
