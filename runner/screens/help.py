"""Help on the screen it was called from: every key, at length."""

from __future__ import annotations

import textwrap
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from runner.screens.keys import Key, given

WIDE, BESIDE = 76, 17
"""Cells of the window, and how many of them its frame, a key and the bar beside the rows take."""


class HelpScreen(ModalScreen[None]):
    """The keys of a screen.

    Args:
        title: Which screen.
        keys: All its keys.
        about: A few sentences on what the screen is for.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape,question_mark,space,enter", "dismiss(None)", "back"),
    ]

    def __init__(self, title: str, keys: tuple[Key, ...], about: str) -> None:
        super().__init__()
        self._title, self._keys, self._about = title, keys, about

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield Static(Content.styled(self._title, "bold"))
            yield Static(Content(self._about), classes="quiet")
            for key in given(self._keys, getattr(self.app, "caps", {})):
                rows = textwrap.wrap(key.more or key.does, max(10, min(WIDE, self.app.size.width) - BESIDE))
                words = f"\n{'':10}".join(rows)
                yield Static(Content.assemble((f" {key.cap:^7} ", "reverse"), f" {words}"))
            yield Static(Content("escape: back"), classes="quiet")
