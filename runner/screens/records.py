"""The records of all batches: listed by what is asked, and the one under the bar read, proved or written out.

Owns the list on the screen. The answers come from the index, a block at a time and beside the screen, which
never waits for the disk; what a proof is stands in `runner.record.verify`. Changes nothing that is kept.
"""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar, get_args

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from runner.batch.moment import Moment, rfc3339
from runner.record.failing import Failing, failing_of
from runner.record.index import page, search
from runner.record.index_query import Listed
from runner.record.verify import verify
from runner.screens.background import Going
from runner.screens.keys import Key, KeyLine
from runner.screens.modal import AskText
from runner.screens.records_asked import Asked, Which
from runner.screens.records_find import FindScreen
from runner.screens.records_lines import MOST_SHOWN, head_of, proof_of, row_of, title_of
from runner.screens.records_out import write_csv
from runner.screens.walk_parts import Line
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

KEYS = (
    Key("enter", "read", "read the record under the bar: plan against actual, deviations, signatures"),
    Key("f", "find", "by date, customer, part, procedure, person, tank, deviation", action="records.find"),
    Key("p", "prove", "prove the record under the bar", action="records.prove"),
    Key(
        "x",
        "failing",
        "prove all that are listed, and keep those that do not prove",
        action="records.failing",
    ),
    Key("b", "board", action="records.board"),
    Key("?", "help"),
    Key("s", "sort", "ended, open, overdue, or all of them", action="records.sort"),
    Key("c", "clear", "ask for all that ended again", action="records.clear"),
    Key("w", "write", "write what is listed as CSV, for a spreadsheet", action="records.write"),
    Key("↑↓", "go through"),
    Key("←→", "a page", "back or on by a page (or page up, page down)"),
)
ABOUT = (
    "Newest first. The list proves nothing: proof here rests on the files beside the records, and "
    "`tankwalk verify --owner` pins it to paper. `tankwalk records` asks the same on the command line."
)

BLOCK = 200
"""Batches fetched at once: a year of thousands is never loaded whole."""

ROWS_BESIDE = 5
"""Rows that the list leaves to the rest: title, what is asked, rule, heading, keys."""


class RecordsScreen(Screen[None]):
    """What is asked, and what was found."""

    app: TankwalkApp  # narrowed: this screen belongs to one app
    DEFAULT_CSS = """
    RecordsScreen #title, RecordsScreen #asked, RecordsScreen #heading { height: 1; }
    RecordsScreen #list { height: 1fr; }
    RecordsScreen #proof { height: auto; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "read", "read"),
        Binding("f", "find", "find", id="records.find"),
        Binding("p", "prove", "prove", id="records.prove"),
        Binding("x", "failing", "failing", id="records.failing"),
        Binding("s", "sort", "sort", id="records.sort"),
        Binding("c", "clear", "clear", id="records.clear"),
        Binding("w", "write", "write", id="records.write"),
        Binding("up", "move(-1)", "up"),
        Binding("down", "move(1)", "down"),
        Binding("left,pageup", "turn(-1)", "a page back"),
        Binding("right,pagedown", "turn(1)", "a page on"),
        Binding("b", "app.to_board", "board", id="records.board"),
        Binding("escape", "app.to_board", "board"),
        Binding("question_mark", "help", "help"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._asked = Asked()
        self._failing: Failing | None = None
        self._of = 0
        self._first = self._asked_first = 0
        self._block: tuple[Listed, ...] = ()
        self._at = 0
        self._going: Going | None = None

    def compose(self) -> ComposeResult:
        yield Line(id="title")
        yield Line(id="asked", classes="quiet")
        yield Static("─" * 400, classes="rule")
        yield Line(id="heading", classes="quiet")
        yield Line(id="list")
        yield Static(id="proof", classes="hidden")  # breaks its own rows
        yield KeyLine()

    def on_mount(self) -> None:
        """Ask for what ended; the answer comes when it comes."""
        self.query_one(KeyLine).say(KEYS)
        self._ask()

    def on_resize(self) -> None:
        """Another size holds other rows."""
        self._draw()

    def on_unmount(self) -> None:
        """What is still being read for this screen is given up."""
        self._begin(None)

    def tick(self, now: Moment) -> None:
        """Show how far the reading is."""
        del now
        self._draw()

    # --- asking -------------------------------------------------------------------------------------

    def _begin(self, going: Going | None) -> None:
        if self._going is not None:
            self._going.give_up()
        self._going = going

    @work(exclusive=True, group="ask")
    async def _ask(self, first: int = 0) -> None:
        """Fetch the block that begins there; the bar stays where it is meant to be."""
        going = Going("reading journals")
        self._begin(going)
        self._asked_first = first
        self._draw()
        wanted = self._asked.wanted(rfc3339(self.app.now().at_ms))
        try:
            found = await asyncio.to_thread(page, self.app.floor.logs, wanted, first, BLOCK, going)
        except OSError as error:
            self._say(f"The records cannot be read: {error.strerror or error}. Call the owner.")
            return
        finally:
            going.done = True
        self._of, self._block = found
        self._first, self._failing = first, None
        self._at = max(0, min(self._at, self._of - 1))
        self._draw()

    @work(exclusive=True, group="ask")
    async def _prove_all(self) -> None:
        """Prove every batch that is asked for; those that fail stay."""
        logs, everything = self.app.floor.logs, self._asked == Asked("all")
        wanted = self._asked.wanted(rfc3339(self.app.now().at_ms))
        going = Going("proving")
        self._begin(going)
        try:
            found = await asyncio.to_thread(search, logs, wanted, going)
            failing = await asyncio.to_thread(failing_of, logs, found.batches, going, everything=everything)
        except OSError as error:
            self._say(f"The records cannot be read: {error.strerror or error}. Call the owner.")
            return
        finally:
            going.done = True
        self._failing, self._block, self._of = failing, failing.batches, len(failing.batches)
        self._first = self._at = 0
        self._say(
            "\n ".join(f"! {one.where}: {one.what}" for one in failing.ground[:MOST_SHOWN])
            or ("" if self._of else f"✓ each of {len(found.batches)} proves")
        )

    def _ask_anew(self, asked: Asked) -> None:
        self._asked, self._at = asked, 0
        self._say("")
        self._ask()

    # --- drawing ------------------------------------------------------------------------------------

    @property
    def _room(self) -> int:
        proof = self.query_one("#proof", Static)
        rows = 0 if proof.has_class("hidden") else max(1, proof.size.height)
        return max(1, self.size.height - ROWS_BESIDE - rows)

    def _draw(self) -> None:
        width, room = max(20, self.size.width), self._room
        top = self._at // room * room
        inside = range(max(0, top - self._first), max(0, min(top + room - self._first, len(self._block))))
        last = min(top + room, self._of)
        self.query_one("#title", Line).say(title_of(top, last, self._of, self._going, width))
        failing = ", of these those that do not prove" if self._failing else ""
        self.query_one("#asked", Line).say(Content(shown(f" {self._asked.words()}{failing}", width)))
        self.query_one("#heading", Line).say(head_of(width))
        rows = [
            row_of(self._block[at], width, self.app.zone, under_bar=at + self._first == self._at)
            for at in inside
        ]
        if not rows and (self._going is None or self._going.done):
            rows = [Content.styled("\n No batch that fits. f asks otherwise, c clears.", "$quiet")]
        self.query_one("#list", Line).say(Content("\n").join(rows))

    def _say(self, words: str) -> None:
        self._show_below(Content.styled(f" {words}" if words else "", "$warning"))

    def _show_below(self, content: Content) -> None:
        """Below the list, which then has so many rows fewer."""
        proof = self.query_one("#proof", Static)
        proof.update(content)
        proof.set_class(not content.plain, "hidden")
        self.call_after_refresh(self._draw)

    @property
    def _under_bar(self) -> Listed | None:
        at = self._at - self._first
        return self._block[at] if 0 <= at < len(self._block) else None

    # --- keys ---------------------------------------------------------------------------------------

    def action_move(self, by: int) -> None:
        """Another row; beyond the block the next one is fetched."""
        self._at = max(0, min(self._at + by, self._of - 1))
        first = self._at // BLOCK * BLOCK
        # While a block is on its way, the keys that ask for it again must not begin it again.
        if self._failing is None and first != self._asked_first:
            self._ask(first)
        self._draw()

    def action_turn(self, by: int) -> None:
        """Another page."""
        self.action_move(by * self._room)

    def action_sort(self) -> None:
        """Ended, open, overdue, all."""
        sorts: tuple[Which, ...] = get_args(Which)
        self._ask_anew(Asked(sorts[(sorts.index(self._asked.which) + 1) % len(sorts)], self._asked.typed))

    def action_clear(self) -> None:
        """All that ended."""
        self._ask_anew(Asked())

    @work(exclusive=True, group="find")
    async def action_find(self) -> None:
        """Ask in the form."""
        asked = await self.app.push_screen_wait(FindScreen(self._asked))
        if asked is not None:
            self._ask_anew(asked)

    def action_failing(self) -> None:
        """Prove what is listed."""
        self._say("")
        self._prove_all()

    def action_read(self) -> None:
        """The record under the bar."""
        if (one := self._under_bar) is not None:
            from runner.screens.record import RecordScreen  # noqa: PLC0415  # loads the printing only here

            self.app.push_screen(RecordScreen(self.app.floor.logs / one.batch))

    def action_prove(self) -> None:
        """Prove the record under the bar."""
        if (one := self._under_bar) is not None:
            self._prove(one.batch)

    @work(exclusive=True, group="prove")
    async def _prove(self, batch: str) -> None:
        self._say(f"proving {batch}…")
        verdict = await asyncio.to_thread(verify, self.app.floor.logs / batch)
        self._show_below(proof_of(batch, verdict))

    @work(exclusive=True, group="write")
    async def action_write(self) -> None:
        """Write what is listed to a file of a name asked for."""
        name = await self.app.push_screen_wait(
            AskText("Write the list as CSV, to which new file?", "a name, or a whole path")
        )
        if name is None:
            return
        wanted = None if self._failing else self._asked.wanted(rfc3339(self.app.now().at_ms))
        self._say(await asyncio.to_thread(write_csv, self.app.floor, name, wanted, self._block))

    def action_help(self) -> None:
        """The keys."""
        self.app.show_help("Records", KEYS, ABOUT)
