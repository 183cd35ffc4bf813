"""The sealed records: a list, and the proof of one at a key press.

Owns the list. What a proof is stands in `runner.record.verify`.
"""

from __future__ import annotations

import asyncio
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import DataTable, Static

from runner.record.index_query import Listed
from runner.record.listing import listed
from runner.record.verify import verify
from runner.screens.help import HelpScreen
from runner.screens.keys import Key, KeyLine
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

KEYS = (
    Key("enter", "prove", "prove the record under the bar"),
    Key("↑↓", "go through"),
    Key("b", "board"),
    Key("?", "help"),
)
COLUMNS = (("batch", 10), ("part", 24), ("outcome", 9), ("ended", 16), ("by", 11))
"""Each with its cells; with a cell of air on both sides they fill eighty."""

_MOST_SHOWN = 4


class RecordsScreen(Screen[None]):
    """Released and abandoned batches, the newest on top."""

    app: TankwalkApp  # narrowed: this screen belongs to one app
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b,escape", "app.to_board", "board"),
        Binding("question_mark", "help", "help"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._records: tuple[Listed, ...] = ()

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" Records", "bold"))
        yield Static("─" * 400, classes="rule")
        yield DataTable[Content](cursor_type="row")
        yield Static(id="proof")
        yield KeyLine()

    def on_mount(self) -> None:
        """List them."""
        self.query_one(KeyLine).say(KEYS)
        table = self.query_one(DataTable)
        for label, cells in COLUMNS:
            table.add_column(label, width=cells)
        said = self.query_one("#proof", Static)
        try:
            self._records = listed(self.app.floor.logs)
        except OSError as error:
            said.update(Content(f" The records cannot be read: {error.strerror or error}. Call the owner."))
            return
        for one in self._records:
            texts = (one.batch, one.part, one.outcome, _when(one.ended, self.app.zone), one.by)
            if not one.ended:
                texts = (one.batch, one.outcome, "", "", "")
            room = (cells for _, cells in COLUMNS)
            table.add_row(*(Content(shown(text, most)) for text, most in zip(texts, room, strict=True)))
        if not self._records:
            said.update(Content(" No batch has been released yet."))
        table.focus()

    def on_data_table_row_selected(self, event: DataTable.RowSelected) -> None:
        """Prove the record under the bar."""
        if event.cursor_row < len(self._records):
            self._prove(self._records[event.cursor_row].batch)

    @work(exclusive=True)
    async def _prove(self, batch: str) -> None:
        said = self.query_one("#proof", Static)
        said.update(Content(f" proving {batch}…"))
        verdict = await asyncio.to_thread(verify, self.app.floor.logs / batch)
        lines = [Content.styled(f" {'✓' if verdict.ok else '!'} {batch} {verdict.said}", "bold")]
        lines += [
            Content.styled(f"   {shown(finding.where)}: {shown(finding.what)}", "$warning")
            for finding in verdict.findings[:_MOST_SHOWN]
        ]
        notes = [note for proof in verdict.batches for note in proof.notes]
        lines += [Content.styled(f"   {shown(note)}", "$quiet") for note in notes[:_MOST_SHOWN]]
        said.update(Content("\n").join(lines))

    def action_help(self) -> None:
        """The keys."""
        about = (
            "Proof here rests on the files beside the records; `tankwalk verify --owner` pins it to paper."
        )
        self.app.push_screen(HelpScreen("Records", KEYS, about))


def _when(ended: str, zone: tzinfo | None) -> str:
    """Day and wall time of a record's own time; its text as it is where it is none."""
    try:
        at = datetime.fromisoformat(ended)
    except ValueError:
        return ended
    return at.astimezone(zone).strftime("%Y-%m-%d %H:%M")
