"""The debrief after a practice walk: what was thrown in, noticed and missed, and why it matters.

Owns how its lines are drawn, and the question at its end: who enters the practice in the route's ledger. What
the lines say is the batch room's, and what is written the record room's.
"""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from runner.batch.terms import Person
from runner.record.practised import PractisedLedger
from runner.record.session import Session
from runner.screens.keys import Key, KeyLine, busy
from runner.screens.pin import AskPin
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.practice_app import PracticeApp

KEYS = (Key("↑ ↓", "read on"), Key("space", "leave"))
KEYS_LEDGER = (Key("↑ ↓", "read on"), Key("space", "to the ledger, or leave"))


class AskPractised(AskPin):
    """Whose practice it was, and their PIN: theirs is the signature in the shop's journal.

    Args:
        ledger: Where it can be entered.
    """

    FOOT: ClassVar[str] = "enter: enter it   up, down: another person   escape: leave it out"

    def __init__(self, ledger: PractisedLedger) -> None:
        super().__init__(
            f"Who practised {shown(ledger.file, 40)}? It can be entered in the shop's ledger as practised. "
            "That is practice and never production: it opens no batch and signs nobody off.",
            "read",
        )
        self._ledger = ledger

    def people(self) -> list[Person]:
        """Everybody of the shop: each signs for themselves alone."""
        return self._ledger.people()

    async def unlocked(self, who: str, pin: str) -> Session:
        """A session with a key of the shop's, not of the practice's."""
        return await asyncio.to_thread(self._ledger.unlock, who, pin)


class DebriefScreen(Screen[None]):
    """The debrief, to be read at leisure.

    Args:
        lines: It, line by line; the first is its title.
        ledger: Where the practice can be entered; None where it cannot.
    """

    app: PracticeApp  # narrowed: this screen belongs to a practice
    DEFAULT_CSS = (
        "DebriefScreen VerticalScroll { height: 1fr; padding: 0 1; } DebriefScreen .inner { padding: 0 2; }"
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("space,enter,escape,q", "done", "leave", priority=True)]

    def __init__(self, lines: tuple[str, ...], ledger: PractisedLedger | None = None) -> None:
        super().__init__()
        self._lines, self._ledger = lines, ledger

    def compose(self) -> ComposeResult:
        title, *rest = self._lines
        with VerticalScroll():
            yield Static(Content.styled(title, "bold"))
            for line in rest:
                yield Static(Content(line.strip() or " "), classes="inner" if line.startswith(" ") else "")
        yield KeyLine()

    def on_mount(self) -> None:
        """Keys at the foot; the arrows move the page."""
        self.query_one(KeyLine).say(KEYS_LEDGER if self._ledger else KEYS)
        self.query_one(VerticalScroll).focus()

    def action_done(self) -> None:
        """It was read: the ledger is asked about, then the practice is left."""
        if not busy(self):
            self._done()

    @work
    async def _done(self) -> None:
        if self._ledger is not None:
            session = await self.app.push_screen_wait(AskPractised(self._ledger))
            if session is not None and (wrong := await asyncio.to_thread(self._ledger.enter, session)):
                self.notify(shown(wrong, 200), severity="warning", markup=False, timeout=10)
                return
        self.app.action_leave()
