"""Which screen is up: the board, and above it a walk, a page of help and a window for a text, made once each.

Owns those three, and that what is covered is not painted. To make a screen anew at each press, with all its
widgets and their styles, took longer than all else that a press asks for. Must not know a job.
"""

from __future__ import annotations

from typing import Any, ClassVar

from textual.app import App
from textual.screen import Screen

from runner.screens.board import BoardScreen
from runner.screens.help import HelpScreen
from runner.screens.keyboard import steady_driver
from runner.screens.keys import Key
from runner.screens.modal import AskText
from runner.screens.walk import WalkScreen


class KeptScreens(App[int]):
    """An app that goes between a board and its walks."""

    HOME: ClassVar[type[BoardScreen]] = BoardScreen
    WALK: ClassVar[type[WalkScreen]] = WalkScreen

    def __init__(self) -> None:
        super().__init__(driver_class=steady_driver())
        self._walk, self._help, self._text = self.WALK(), HelpScreen(), AskText("")
        self.install_screen(self._walk, "walk")
        self.install_screen(self._help, "help")
        self.install_screen(self._text, "text")

    @property
    def _background_screens(self) -> list[Screen[Any]]:
        """Screens seen behind the one on top; none where that covers all."""
        # The library lists those below an opaque screen too, and paints it anew whole when they change.
        return super()._background_screens if self.screen.is_modal else []

    def to_board(self) -> None:
        """Back to the board, whatever is up."""
        while len(self.screen_stack) > 1 and not isinstance(self.screen, BoardScreen):
            self.pop_screen()

    def action_to_board(self) -> None:
        """The same, by a key: the library finds actions by this name alone."""
        self.to_board()

    def to_walk(self, batch: str) -> None:
        """The walk of a batch that this terminal has in hand."""
        self.to_board()
        self._walk.show(batch)
        self.push_screen(self._walk)

    def show_help(self, title: str, keys: tuple[Key, ...], about: str) -> None:
        """A page of help over the screen that is up.

        Args:
            title: Which screen.
            keys: All its keys.
            about: A few sentences on what the screen is for.
        """
        self._help.show(title, keys, about)
        self.push_screen(self._help)

    async def ask_text(self, title: str, hint: str = "") -> str | None:
        """Ask for one line of text over the screen that is up; from a worker alone.

        Args:
            title: What is asked.
            hint: A line of help under it.
        """
        return await self.push_screen_wait(self._text.again(title, hint))
