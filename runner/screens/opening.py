"""Opening a batch: which procedure?

Owns the list of the shop's procedures. Which parts is asked by the booking after it.
"""

from __future__ import annotations

import asyncio
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from runner.faults import Fault, InputFault
from runner.procedure.model import Procedure
from runner.procedure.reading import load_procedure
from runner.record.ledger import begun, signed_off_for
from runner.screens.approval_words import Stands, stands
from runner.screens.approvals import read_all
from runner.screens.booking import BookingScreen
from runner.screens.keys import Key, KeyLine
from runner.shop.finding import procedure_files
from runner.shop.model import Shop
from runner.shop.reading import load_shop
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

LISTED = 9
"""Procedures on one page, each with its digit."""


NAMED = 24
"""Cells for those who are signed off for a route; `tankwalk people routes list` names all of them."""


ABOUT = (
    "A digit chooses the procedure. Below it stands whether this revision is approved, and by whom. One that "
    "never was may be walked; one that was changed after its approval, or replaced, may not."
)


class OpeningScreen(Screen[None]):
    """Choose a procedure."""

    app: TankwalkApp  # narrowed: this screen belongs to one app
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,b", "app.to_board", "board"),
        Binding("down,right,space", "page(1)", "more"),
        Binding("up,left", "page(-1)", "back"),
        Binding("question_mark", "help", "help"),
    ]
    KEYS = (Key("1-9", "choose"), Key("space", "more"), Key("b", "board"), Key("?", "help"))

    def __init__(self) -> None:
        super().__init__()
        self._files: list[Path] = []
        self._page = 0
        self._shop: Shop | None = None
        self._stands: dict[Path, Stands] = {}

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" Open a batch: which procedure?", "bold"))
        yield Static("─" * 400, classes="rule")
        yield Static(id="said", classes="hidden")  # above the list: nine procedures reach the foot
        yield Static(id="listed")
        yield KeyLine()

    def on_mount(self) -> None:
        """List the shop's procedures."""
        self.query_one(KeyLine).say(self.KEYS)
        try:
            self._shop = load_shop(self.app.floor.folder)
        except InputFault as wrong:
            self._say(wrong.faults)
            return
        self._files = procedure_files(self.app.floor.folder)
        self._show()
        self._ask_standing()

    @work
    async def _ask_standing(self) -> None:
        """How each revision stands, once they are read beside the screen."""
        read = await asyncio.to_thread(read_all, self.app.floor.folder)
        self._stands = {file: self._standing(one) for file, one in read if isinstance(one, Procedure)}
        if self.is_attached:
            self._show()

    def _standing(self, one: Procedure) -> Stands:
        name = Path(one.source.file).name
        state = self.app.floor.roll.state
        told = stands(state, name, one.source.sha256, self.app.zone)
        if told.refused or state is None or not begun(state, name):
            return told
        able = ", ".join(signed_off_for(state, name, one.revision)) or "nobody"
        sign, _, words = told.words.partition(" ")  # the names first: where a line is cut, a time of day goes
        return replace(told, words=f"{sign} signed off: {shown(able, NAMED)}; {words}")

    def _show(self) -> None:
        page = self._files[self._page * LISTED : (self._page + 1) * LISTED]
        lines = []
        for number, file in enumerate(page, start=1):
            lines.append(
                Content.assemble(
                    " ", (f" {number} ", "reverse"), f" {shown(_title(file), max(20, self.size.width - 6))}"
                )
            )
            if (stands := self._stands.get(file)) is not None:
                style = "$warning" if stands.refused else "$quiet"
                lines.append(
                    Content.styled(f"     {shown(stands.words, max(20, self.size.width - 6))}", style)
                )
        pages = -(-len(self._files) // LISTED)
        lines.append(Content.styled(f"\n page {self._page + 1} of {max(1, pages)}", "$quiet"))
        self.query_one("#listed", Static).update(Content("\n").join(lines))

    def action_page(self, by: int) -> None:
        """Another page."""
        pages = max(1, -(-len(self._files) // LISTED))
        self._page = (self._page + by) % pages
        self._show()

    def on_key(self, event: events.Key) -> None:
        """A digit chooses."""
        page = self._files[self._page * LISTED : (self._page + 1) * LISTED]
        digit = event.character or ""
        if digit.isdecimal() and 1 <= int(digit) <= len(page) and self._shop is not None:
            event.stop()
            try:
                procedure = load_procedure(page[int(digit) - 1], self._shop)
            except InputFault as wrong:
                self._say(wrong.faults)
                return
            if refused := self._standing(procedure).refused:
                self._say((Fault(refused, "under People the page of procedures shows how each stands"),))
                return
            self.app.push_screen(BookingScreen(procedure, self._shop))

    def _say(self, faults: tuple[Fault, ...]) -> None:
        words = "\n".join(shown(str(fault)) for fault in faults[:6])
        said = self.query_one("#said", Static)
        said.update(Content.styled(f"{words}\n", "$warning"))
        said.remove_class("hidden")

    def action_help(self) -> None:
        """The keys."""
        self.app.show_help("Open a batch", self.KEYS, ABOUT)


def _title(file: Path) -> str:
    """What a file calls itself, without reading it whole; its name where it says nothing."""
    try:
        with file.open(encoding="utf-8", errors="replace") as lines:
            for _, line in zip(range(40), lines, strict=False):
                if line.startswith("title"):
                    return f"{line.partition('=')[2].strip().strip(chr(34))}   ({file.name})"
    except OSError:
        pass
    return file.name
