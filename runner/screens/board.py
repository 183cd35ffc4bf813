"""The board: every open batch on one screen, the one that needs hands first on top.

Owns the list's order and wording. Must not change a batch: a digit opens its walk.
"""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from runner.batch.ahead import Stay, clashes, forecast
from runner.batch.moment import Moment
from runner.batch.questions import current_progress
from runner.record.standing import Standing
from runner.screens.alarm_asking import quieten
from runner.screens.alarm_words import banner
from runner.screens.board_rows import FULL, row, urgency_s
from runner.screens.keys import Key, KeyLine, busy
from runner.screens.pin import AskHand, AskPin
from runner.screens.strip import MOST_CLASHES, ahead_lines, strip_lines
from runner.screens.walk_parts import Line
from runner.screens.words_figures import wall
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

KEYS = (
    Key("1-9", "go to it", "go to that batch's walk"),
    Key("o", "open", "open a batch from a procedure", action="board.open"),
    Key("r", "records", "released and abandoned batches, with proof", action="board.records"),
    Key("u", "people", "who works here", action="board.people"),
    Key("q", "leave", "leave; every walk goes on from where it stands", action="board.leave"),
    Key("?", "help", "this page"),
    Key("a", "alarms", "acknowledge an alarm, or put it off for a while", action="board.alarms"),
    Key("F2", "colours", "dark, light, high contrast", action="everywhere.colours"),
    Key("F3", "big print", "the walk in big print, or small", action="everywhere.big"),
)
ABOUT = "Every open batch, the one that needs hands first on top. Times run on while nobody looks."

ROWS_BESIDE = 10
"""Rows that the strip leaves to the rest: head, rule, band, what is ahead, notice, keys."""


class BoardScreen(Screen[None]):
    """All open batches of the shop."""

    app: TankwalkApp  # narrowed: this screen belongs to one app
    KEYS: ClassVar[tuple[Key, ...]] = KEYS
    DEFAULT_CSS = """
    BoardScreen #head, BoardScreen #band { height: 1; }
    BoardScreen #racks { height: 1fr; }
    BoardScreen #band.up { background: $warning; color: $background; text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("o", "open", "open a batch", id="board.open"),
        Binding("r", "records", "records", id="board.records"),
        Binding("u", "people", "people", id="board.people"),
        Binding("a", "alarms", "alarms", id="board.alarms"),
        Binding("q", "app.leave", "leave", id="board.leave"),
        Binding("question_mark", "help", "help"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._digits: dict[str, str] = {}
        self._refused = ""

    def compose(self) -> ComposeResult:
        yield Line(id="head")
        yield Static("─" * 400, classes="rule")
        yield Line(id="band")
        yield Line(id="racks")
        yield Line(id="strip", classes="quiet")
        yield Line(id="notice", classes="quiet")
        yield KeyLine()

    def on_mount(self) -> None:
        """Draw at once."""
        self.query_one(KeyLine).say(self.KEYS)
        self.tick(self.app.now())

    def on_screen_resume(self) -> None:
        """Draw what has changed while another screen was up."""
        self.tick(self.app.now())

    def tick(self, now: Moment) -> None:
        """Draw the racks as they stand, those opened or sealed at another terminal since too."""
        self.app.floor.roll.look_again()
        standing = self.app.floor.standing()
        # A rack keeps its digit while others pass it or end: nobody presses 2 and gets another rack.
        self._digits = {one.batch: str(one.place) for one in standing}
        count = len(standing)
        batches = f" batch{'' if count == 1 else 'es'}" if self.size.width >= FULL else ""
        right = f"{count} open{batches}   {wall(now.at_ms, self.app.zone)} "
        # The clock is never cut: a long title is.
        left = f" {shown(self.app.floor.title, max(1, min(40, self.size.width - len(right) - 2)))}"
        room = max(1, self.size.width - len(left) - len(right))
        self.query_one("#head", Line).say(Content.assemble((left, "bold"), " " * room, right))
        band = self.query_one("#band", Line)
        trouble = self.app.trouble or self.app.floor.roll.problem
        band.set_class(trouble is not None, "band")
        states = {one.batch: one.state for one in standing if one.state}
        room = max(10, self.size.width - 2)
        loud = "" if trouble else banner(self.app.floor.alarms(now), states, self._digits, room)
        band.set_class(bool(loud), "up")
        said = shown(trouble or loud, room)
        band.say(Content(f" {said}" if said else ""))
        stays = {batch: forecast(state, batch, now) for batch, state in states.items()}
        ahead = ahead_lines(clashes(stays), self._digits, self.size.width)
        self.query_one("#racks", Line).say(self._racks(standing, ahead, now))
        self._draw_strip(stays, count + max(0, len(ahead) - MOST_CLASHES), now)
        said = f" {shown(self._refused)}" if self._refused else self.app.notice
        rows = [
            row
            for line in said.splitlines()
            for row in textwrap.wrap(shown(line), max(10, self.size.width - 1), subsequent_indent=" ")
        ]
        self.query_one("#notice", Line).say(Content("\n".join(rows)))

    def _racks(self, standing: tuple[Standing, ...], ahead: list[str], now: Moment) -> Content:
        if not standing:
            words = f"\n No batch is open. Press {self.app.caps['board.open']} to open one from a procedure."
            return Content.styled(words, "$quiet")
        done = {one.batch: current_progress(one.state, now) if one.state else None for one in standing}
        listed = sorted(standing, key=lambda one: urgency_s(one, done[one.batch], now))
        lines = [row(self._digits[one.batch], one, done[one.batch], now, self.size.width) for one in listed]
        lines += [Content("")] * bool(ahead)
        lines += [Content.styled(line, "$warning") for line in ahead]
        return Content("\n").join(lines)

    def _draw_strip(self, stays: dict[str, tuple[Stay, ...]], count: int, now: Moment) -> None:
        """The next hour, as far as the racks leave room for it."""
        # A row for every rinse would leave no room for what can be planned.
        long = [stay for of_rack in stays.values() for stay in of_rack if not stay.short]
        lines = strip_lines(long, self._digits, now, self.size.width, self.app.zone)
        room = self.size.height - ROWS_BESIDE - count
        strip = self.query_one("#strip", Line)
        head, *tanks = lines[: max(0, room)] or [""]
        strip.set_class(not tanks, "hidden")
        strip.say(Content("\n".join([head, *tanks])))

    def holds(self, character: str) -> bool:
        """Any key may begin a label, of which no character may act here; over help none of them does."""
        return character not in {"", "?"}

    def on_key(self, event: events.Key) -> None:
        """A digit goes to that batch."""
        digit = event.character or ""
        batch = next((name for name, own in self._digits.items() if own == digit), None)
        if batch is not None and not busy(self):
            event.stop()
            self._refused = ""
            self.go(batch)

    @work
    async def go(self, batch: str) -> None:
        """Take a batch in hand, with a PIN where none is unlocked for it, and walk it."""
        session = None
        if had := self.app.floor.left_behind(batch):
            # Whose rack it is changes by a PIN alone, and before it is in hand here.
            why = f"Take batch {batch} in hand: the terminal that had it went without letting go"
            session = await self.app.push_screen_wait(AskPin(why, "walk", had.id))
            if session is None:
                return
        if refusal := self.app.floor.take(batch, self.app.now()):
            self._refused = refusal
            self.tick(self.app.now())
            return
        if self.app.state(batch).phase.ended:
            await self._seal(batch)
            return
        if session is None and self.app.session(batch) is None:
            asked = AskHand(batch, self.app.state(batch).taken_by)
            session = await self.app.push_screen_wait(asked)
            if session is None and not asked.unsigned:
                self.app.floor.put_away(batch)
                return
        if session is not None and (said := await self.app.take(batch, session)):
            self.notify(said, severity="warning", markup=False)
        self.app.to_walk(batch)

    async def _seal(self, batch: str) -> None:
        """A batch that ended when the power went is sealed now, by who ended it."""
        ender = self.app.state(batch).ended_by
        session = await self.app.push_screen_wait(
            AskPin(f"Batch {batch} has ended and is not sealed. Seal it", "walk", ender.id if ender else "")
        )
        if session is not None:
            self.notify(await self.app.seal(batch, session), markup=False, timeout=10)

    def action_open(self) -> None:
        """Open a batch."""
        from runner.screens.opening import OpeningScreen  # noqa: PLC0415  # loads the procedure room only here

        self.app.push_screen(OpeningScreen())

    def action_records(self) -> None:
        """The sealed batches."""
        from runner.screens.records import RecordsScreen  # noqa: PLC0415  # loads verification only here

        self.app.push_screen(RecordsScreen())

    def action_people(self) -> None:
        """Who works here."""
        from runner.screens.people import PeopleScreen  # noqa: PLC0415  # loads only where it is asked for

        self.app.push_screen(PeopleScreen())

    def action_alarms(self) -> None:
        """Acknowledge an alarm, or put it off."""
        if not busy(self):
            self._quieten()

    @work
    async def _quieten(self) -> None:
        if said := await quieten(self.app, self._digits):
            self.notify(said, markup=False)

    def action_help(self) -> None:
        """The keys, at length."""
        self.app.show_help("The board", self.KEYS, ABOUT)
