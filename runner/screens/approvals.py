"""The procedures under control: how each revision stands, and approving one.

Owns that page. What may be walked, and the signed line of an approval, are the record room's.
"""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from runner.faults import InputFault
from runner.procedure.model import Procedure
from runner.procedure.reading import load_procedure
from runner.record.approval import approve
from runner.record.journal_errors import JournalError
from runner.record.lock import Held
from runner.screens.approval_words import stands
from runner.screens.keys import Key, KeyLine, busy
from runner.screens.pin import AskPin
from runner.shop.finding import procedure_files
from runner.shop.reading import load_shop
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

KEYS = (
    Key("1-9", "approve", "approve that revision as it is now, with the PIN of somebody who may"),
    Key("space", "more", "the next page"),
    Key("b", "back"),
    Key("?", "help"),
)
ABOUT = (
    "A procedure that was never approved can be walked, and its record names its text. Once a revision is "
    "approved only that text can, and only the newest: a change needs a new revision and a new approval. "
    "`tankwalk approve FILE` does the same."
)

LISTED = 9
"""Procedures on one page, each with its digit."""

Read = tuple[Path, Procedure | str]
"""A file with what it says, or what is wrong with it."""


class ApprovalsScreen(Screen[None]):
    """Every procedure of the shop, with how it stands."""

    app: TankwalkApp  # narrowed: this screen belongs to one app
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b,escape", "app.pop_screen", "back"),
        Binding("space,right,down", "page(1)", "more"),
        Binding("left,up", "page(-1)", "before"),
        Binding("question_mark", "help", "help"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._read: list[Read] = []
        self._page = 0

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" Procedures, and which revisions are approved", "bold"))
        yield Static("─" * 400, classes="rule")
        yield Static(Content.styled(" reading…", "$quiet"), id="listed")
        yield KeyLine()

    def on_mount(self) -> None:
        """Read them beside the screen."""
        self.query_one(KeyLine).say(KEYS)
        self._load()

    @work(group="load")
    async def _load(self) -> None:
        self._read = await asyncio.to_thread(read_all, self.app.floor.folder)
        if self.is_attached:
            self._show()

    @property
    def _listed(self) -> list[Read]:
        return self._read[self._page * LISTED : (self._page + 1) * LISTED]

    def _show(self) -> None:
        state = self.app.floor.roll.state
        lines = []
        for number, (file, read) in enumerate(self._listed, start=1):
            said = f"! {read}"
            revision = ""
            if isinstance(read, Procedure):
                said = stands(state, file.name, read.source.sha256, self.app.zone).words
                revision = f", revision {shown(read.revision, 12)}"
            style = "$warning" if said.startswith("!") else "$quiet"
            title = f"{shown(file.name, 50)}{revision}"
            lines.append(Content.assemble(" ", (f" {number} ", "reverse"), f" {title}"))
            lines.append(Content.styled(f"     {shown(said, max(20, self.size.width - 6))}", style))
        pages = max(1, -(-len(self._read) // LISTED))
        lines.append(Content.styled(f"\n page {self._page + 1} of {pages}", "$quiet"))
        self.query_one("#listed", Static).update(Content("\n").join(lines))

    def action_page(self, by: int) -> None:
        """Another page."""
        self._page = (self._page + by) % max(1, -(-len(self._read) // LISTED))
        self._show()

    def on_key(self, event: events.Key) -> None:
        """A digit chooses the one to approve."""
        digit = event.character or ""
        if digit.isdecimal() and 1 <= int(digit) <= len(self._listed) and not busy(self):
            event.stop()
            self._approve(*self._listed[int(digit) - 1])

    @work
    async def _approve(self, file: Path, read: Procedure | str) -> None:
        if isinstance(read, str):
            self.notify(f"{file.name} cannot be approved: {shown(read)}", severity="warning", markup=False)
            return
        session = await self.app.push_screen_wait(
            AskPin(f"Approve {file.name}, revision {read.revision}, as it is now", "approve")
        )
        if session is None:
            return
        now = self.app.now()
        try:
            await asyncio.to_thread(
                approve,
                self.app.floor.logs,
                file.name,
                read.title,
                read.revision,
                read.source.sha256,
                session,
                now,
            )
        except InputFault as wrong:
            self.notify(str(wrong), severity="warning", markup=False, timeout=8)
        except JournalError as error:
            self.notify(str(error.fault), severity="warning", markup=False, timeout=8)
        except Held as held:
            self.notify(f"another terminal writes the shop's journal ({held.by}): try again", markup=False)
        self.app.floor.roll.look_again()
        self._show()

    def action_help(self) -> None:
        """The keys."""
        self.app.show_help("Procedures", KEYS, ABOUT)


def read_all(folder: Path) -> list[Read]:
    """Every procedure of a shop; what cannot be read says why."""
    try:
        shop = load_shop(folder)
    except InputFault as wrong:
        return [(file, str(wrong.faults[0])) for file in procedure_files(folder)]
    found: list[Read] = []
    for file in procedure_files(folder):
        try:
            found.append((file, load_procedure(file, shop)))
        except InputFault as wrong:
            found.append((file, str(wrong.faults[0])))
    return found
