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
from runner.screens.styled_once import StyledOnce

WIDE, BESIDE = 76, 17
"""Cells of the window, and how many of them its frame, a key and the bar beside the rows take."""


class HelpScreen(ModalScreen[None], StyledOnce[None]):
    """The keys of a screen; kept, and given one page after another."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape,question_mark,space,enter", "dismiss(None)", "back"),
    ]

    def __init__(self, title: str = "", keys: tuple[Key, ...] = (), about: str = "") -> None:
        super().__init__()
        self.show(title, keys, about)

    def show(self, title: str, keys: tuple[Key, ...], about: str) -> None:
        """Show this page the next time that the screen is up.

        Args:
            title: Which screen.
            keys: All its keys.
            about: A few sentences on what the screen is for.
        """
        self._title, self._keys, self._about = title, keys, about

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield Static()

    def on_screen_resume(self) -> None:
        """Draw the page, from its top."""
        self.query_one(VerticalScroll).scroll_home(animate=False)
        self.query_one(Static).update(self._page())
        self.refresh(layout=True)  # with the rows that the page has, and not first with those of the last one

    def _page(self) -> Content:
        rows = [Content.styled(self._title, "bold"), Content.styled(self._about, "$quiet")]
        for key in given(self._keys, getattr(self.app, "caps", {})):
            words = textwrap.wrap(key.more or key.does, max(10, min(WIDE, self.app.size.width) - BESIDE))
            rows.append(Content.assemble((f" {key.cap:^7} ", "reverse"), " ", f"\n{'':10}".join(words)))
        rows.append(Content.styled("escape: back", "$quiet"))
        return Content("\n").join(rows)
