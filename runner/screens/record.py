"""One batch's record, to be read: plan against actual, deviations, signatures, addenda.

Owns the page. What stands in it is what `tankwalk report` prints, read and proved beside the screen; it
changes nothing.
"""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from runner.faults import InputFault
from runner.record.addenda import addenda_of
from runner.record.report.material import gather
from runner.record.report.view import view
from runner.screens.keys import Key, KeyLine
from runner.screens.record_lines import Section, sections_of
from runner.text import shown

if TYPE_CHECKING:
    from runner.batch.moment import Moment
    from runner.screens.app import TankwalkApp

KEYS = (
    Key("↑↓", "read on", "read on by a line; page up and page down by a page"),
    Key("d", "deviations", "go to the deviations", action="record.deviations"),
    Key("s", "signatures", "go to the signatures: printed name, time, meaning", action="record.signatures"),
    Key("a", "addenda", "go to what was added since", action="record.addenda"),
    Key("esc", "back"),
    Key("?", "help"),
)
ABOUT = "What `tankwalk report` prints, to be read here. Times are UTC, as the record's own."


class RecordScreen(Screen[None]):
    """A batch's record.

    Args:
        folder: Of the batch.
    """

    app: TankwalkApp  # narrowed: this screen belongs to one app
    DEFAULT_CSS = """
    RecordScreen VerticalScroll { height: 1fr; }
    RecordScreen VerticalScroll Static { height: auto; padding: 0 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("d", "section('deviations')", "deviations", id="record.deviations"),
        Binding("s", "section('signatures')", "signatures", id="record.signatures"),
        Binding("a", "section('addenda')", "addenda", id="record.addenda"),
        Binding("b", "app.pop_screen", "back", id="record.back"),
        Binding("escape", "app.pop_screen", "back"),
        Binding("question_mark", "help", "help"),
    ]

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self._folder = folder

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(f" Record of batch {shown(self._folder.name, 40)}", "bold"))
        yield Static("─" * 400, classes="rule")
        yield VerticalScroll(Static(Content.styled("reading and proving…", "$quiet"), id="said"))
        yield KeyLine()

    def on_mount(self) -> None:
        """Read it beside the screen."""
        self.query_one(KeyLine).say(KEYS)
        self.query_one(VerticalScroll).focus()
        self._read()

    @work
    async def _read(self) -> None:
        try:
            sections = await asyncio.to_thread(_sections, self._folder, self.app.now())
        except InputFault as wrong:
            self.query_one("#said", Static).update(Content.styled(shown(wrong), "$warning"))
            return
        if self.is_attached:
            await self.query_one("#said", Static).remove()
            parts = [Static(section.lines, id=section.name) for section in sections]
            await self.query_one(VerticalScroll).mount(*parts)

    def action_section(self, name: str) -> None:
        """Have a part of it on top."""
        for part in self.query(f"#{name}"):
            self.query_one(VerticalScroll).scroll_to_widget(part, top=True, animate=False)

    def action_help(self) -> None:
        """The keys."""
        self.app.show_help("A record", KEYS, ABOUT)


def _sections(folder: Path, now: Moment) -> tuple[Section, ...]:
    material = gather(folder)
    return sections_of(view(material, now), addenda_of(folder))
