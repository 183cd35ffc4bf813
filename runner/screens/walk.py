"""The walk: one batch, one step at a time, readable from two metres.

Owns what each key means here and the digits being typed; the state of the batch is the journal's, and
what is shown comes from `words`. Must not know physics, nor reckon a time.
"""

from __future__ import annotations

import textwrap
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from runner.batch import intents as do
from runner.batch.moment import Moment
from runner.batch.questions import Action, has_meter
from runner.screens.alarm_words import elsewhere
from runner.screens.burst import NUMBER
from runner.screens.keys import Key, KeyLine, busy
from runner.screens.styled_once import StyledOnce
from runner.screens.walk_asking import CautionsRead, ask_for
from runner.screens.walk_big import large_of
from runner.screens.walk_keys import ABOUT, BINDINGS, HOW, KEYS, NO_DANGER, go_key
from runner.screens.walk_lines import MORE, WalkLines, head_of, lines_of, step_of
from runner.screens.walk_moves import lift, note_move
from runner.screens.walk_parts import LABEL_CELLS, Line, TankBlock
from runner.screens.walk_room import asked_rows, fitted, free_rows, is_small
from runner.screens.words import Walk, walk
from runner.screens.words_figures import wall
from runner.text import shown
from runner.units import write_time

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

_TYPED = "0123456789.,-"
_LONGEST_TYPED = 12


class WalkScreen(StyledOnce[None]):
    """The walk of one batch: of the one that it was last given to show."""

    app: TankwalkApp  # narrowed: this screen belongs to one app
    DEFAULT_CSS = """
    WalkScreen #head, WalkScreen #step { height: 1; }
    WalkScreen #now { height: auto; }
    WalkScreen #now { text-style: bold; background: $foreground; color: $background; padding: 0 1; }
    WalkScreen #now.up { background: $warning; color: $background; }
    WalkScreen #now.past { background: $error; color: $background; }
    WalkScreen TankBlock { height: 6; }
    WalkScreen #short { display: none; }
    WalkScreen.-small .rule, WalkScreen.-small #clock, WalkScreen.-small #figures { display: none; }
    WalkScreen.-small TankBlock { height: auto; }
    WalkScreen.-small #short { display: block; }
    WalkScreen.-big #step { height: auto; }
    WalkScreen.-big #clock, WalkScreen.-big #figures, WalkScreen.-big .rule { display: none; }
    WalkScreen.-big #large { display: block; }
    """
    BINDINGS: ClassVar[list[BindingType]] = list(BINDINGS)
    MORE_ROWS: ClassVar[int] = 0  # that a screen made of this one keeps at its foot

    def __init__(self) -> None:
        super().__init__()
        self._cautions = CautionsRead()
        self._begin("")

    def compose(self) -> ComposeResult:
        yield Line(id="head")
        yield Line(id="now")
        yield Line(id="step")
        yield TankBlock()
        yield Static("─" * 400, classes="rule")
        yield WalkLines()
        yield KeyLine()

    def _begin(self, batch: str) -> None:
        self._batch = batch
        self._typed = ""
        self._meter: str | None = None
        self._said = ""
        self._hint: tuple[object, str] = (None, "")  # what it belongs to, so that it goes with that

    def show(self, batch: str) -> None:
        """Walk this batch from here on; a question that was open at the one before is asked no more."""
        self.workers.cancel_node(self)
        self._begin(batch)

    def on_screen_resume(self) -> None:
        """Draw at once, not at the next tick, and laid out for what is drawn."""
        self.tick(self.app.now())
        self.refresh(layout=True)

    def on_resize(self, event: events.Resize) -> None:
        """A short or narrow terminal keeps the clock, what can hurt and what is asked."""
        self.set_class(is_small(event.size), "-small")
        self.tick(self.app.now())

    @property
    def _over(self) -> bool:
        """Whether the batch has ended and this screen with it; keys typed ahead may still be on their way."""
        return self not in self.app.screen_stack

    def tick(self, now: Moment) -> None:
        """Draw the batch as it stands."""
        if self._over:
            return
        caps = self.app.caps
        view = walk(self.app.state(self._batch), now, self.app.zone, caps)
        if self._meter:  # a digit goes into its field now, and chooses nothing
            view = replace(view, choices=())
        width, small = self.size.width, self.has_class("-small")
        locked = "" if self.app.session(self._batch) else caps["walk.unlock"]
        self.query_one("#head", Line).say(head_of(view, width, wall(now.at_ms, self.app.zone), locked=locked))
        words = self.query_one("#now", Line)
        words.set_class(view.alarm == "up", "up")
        words.set_class(view.alarm == "past" or self.app.trouble is not None, "past")
        said = lines_of(view, width, self._meter, self._typed, self._told(view.action, now))
        large = large_of(view, self.app.trouble, said, self.size) if self.app.big else None
        self.set_class(large is not None, "-big")
        loud = shown(self.app.trouble or view.now)
        now_rows = large.now if large else textwrap.wrap(loud, max(10, width - 2))
        words.say(Content("\n".join(now_rows)))
        tank = large.tank if large else ()
        block = self.query_one(TankBlock)
        room = free_rows(self.size, small=small) - len(now_rows) - self.MORE_ROWS
        block.say(view, large.block if large else (), room - asked_rows(said))
        room -= (block.short_rows if small else 0) + (len(tank) - 1 if tank else 0)
        lines = fitted(said, view.choices, width, room)
        ahead = not self.query_one(WalkLines).say(lines, room, MORE.format(caps["walk.dangers"]))
        self.query_one("#step", Line).say(step_of(view, width, tank, ahead=ahead))
        self.query_one(KeyLine).say(self._keys(view))

    def _told(self, action: Action, now: Moment) -> str:
        """What is to be said about the last key, or else what calls for a hand at another rack."""
        if said := self._said or (self._hint[1] if self._hint[0] == (action.name, action.question) else ""):
            return said
        floor = self.app.floor
        return elsewhere(floor.alarms(now), floor.standing(), self._batch, self.size.width - LABEL_CELLS)

    def _keys(self, view: Walk) -> tuple[Key, ...]:
        fact = (Key("f", view.fact, action="walk.fact"),) if view.fact else ()
        return (go_key(view), *fact, *(key for key in KEYS[2:] if key.cap in {"n", "t", "b", "?"}))

    # --- keys ---------------------------------------------------------------------------------------

    async def action_press(self, what: str) -> None:
        """An action key, once for each press."""
        if self._over:
            return
        # Of each batch by itself: another rack is another press, however soon.
        if not self.app.guard.passes(f"{what} {self._batch}", self.app.keys.pressed_ms):
            self.tick(self.app.now())
            return
        self._said, self._hint = "", (None, "")
        match what:
            case "go":
                await self._go(walk(self.app.state(self._batch), self.app.now()).action)
            case "fact":
                self._said = await note_move(self.app, self._batch)
            case "ammeter" | "count" if not has_meter(self.app.state(self._batch)):
                self._said = "no current is on here: there is no meter to read"
            case "ammeter" | "count":
                self._meter = "ammeter, A" if what == "ammeter" else "A·h since this rack went in"
                self._typed = ""
            case _ if not busy(self):
                self._ask(what)
        self.tick(self.app.now())

    async def _go(self, action: Action) -> None:
        """The one large key: whatever comes next."""
        if self._typed:
            await self.action_accept()
            return
        match action.name:
            case "answer":
                assert action.question is not None
                self._hint = (action.name, action.question), HOW[bool(action.question.asked.choices)]
            case "wait":
                assert action.wait_s is not None
                fact = self.app.caps["walk.fact"]
                name = shown(self.app.state(self._batch).opened.plan.step(action.step).name, 34)
                left = write_time(action.wait_s)
                self._hint = (action.name, None), f"{name}: {left} left. If it is out already, press {fact}."
            case "lift":
                self._said = await lift(self.app, self._batch)
            case "enter":
                self._said = await note_move(self.app, self._batch)
            case "resume":
                await self._do(do.Resume())
            case "none":
                self.app.to_board()
            case _ if not busy(self):
                self._ask(action.name)

    async def on_key(self, event: events.Key) -> None:
        """Digits answer; each counts, so that 33 never becomes 3."""
        if self._over:
            return
        character = event.character or ""
        action = walk(self.app.state(self._batch), self.app.now()).action
        choices = action.question.asked.choices if action.question else ()
        if character.isdecimal() and choices and not self._meter:
            event.stop()
            # One choice a press: a second press would answer the next question, which nobody has read.
            if 1 <= int(character) <= len(choices) and self.app.guard.passes(
                "chose", self.app.keys.pressed_ms
            ):
                assert action.question is not None
                await self._do(
                    do.AnswerChoice(action.question.step, action.question.check, choices[int(character) - 1])
                )
        elif character and character in _TYPED and (self._meter or action.name == "answer"):
            event.stop()
            self._typed = (self._typed + character)[:_LONGEST_TYPED]
            self.tick(self.app.now())
        elif self._typed and character.isalpha() and event.key not in self.active_bindings:
            event.stop()
            self._said = "the figure alone: its unit stands beside the question"
            self.tick(self.app.now())

    def holds(self, character: str) -> bool:
        """A digit may begin a label, unless a figure is being typed: that is told by its form."""
        if self._over or self._meter or not character.isdecimal():
            return False
        action = walk(self.app.state(self._batch), self.app.now()).action
        return action.question is None or bool(action.question.asked.choices)

    def action_rub_out(self) -> None:
        """Take the last digit back."""
        self._typed = self._typed[:-1]
        self.tick(self.app.now())

    async def action_accept(self) -> None:
        """Take what was typed."""
        if self._over:
            return
        if NUMBER.fullmatch(self._typed):
            number, self._typed = self._typed, ""
            self.app.read(number)
            return
        action = walk(self.app.state(self._batch), self.app.now()).action
        try:
            value = float(self._typed.replace(",", "."))
        except ValueError:
            self._said = "type a number first" if self._typed or self._meter else ""
            self.tick(self.app.now())
            return
        area = self.app.area_in_tank(self._batch)
        meter, self._meter, self._typed = self._meter, None, ""
        if meter and meter.startswith("A·h"):
            await self._do(do.ReadCharge(value, area))
        elif meter:
            await self._do(do.ReadCurrent(value, area))
        elif action.question is not None and not action.question.asked.choices:
            await self._do(do.AnswerValue(action.question.step, action.question.check, value, area))

    def action_board(self) -> None:
        """Back to the board, or out of a meter reading."""
        if self._meter or self._typed:
            self._meter, self._typed = None, ""
            self.tick(self.app.now())
        else:
            self.app.to_board()

    def action_help(self) -> None:
        """The keys, at length."""
        self.app.show_help("The walk", KEYS, ABOUT)

    def action_why(self) -> None:
        """Why this step, what goes wrong, what the surface is now."""
        from runner.screens.why_words import why_page  # noqa: PLC0415  # loads the tables only here

        self.app.show_help(*why_page(self.app.state(self._batch)))

    def action_dangers(self) -> None:
        """What can hurt, where the screen has no room for all of it."""
        view = walk(self.app.state(self._batch), self.app.now())
        told = (view.danger and f"{view.signal}  {view.danger}", view.wear and f"WEAR  {view.wear}")
        self.app.show_help(view.step, (), "\n\n".join(filter(None, told)) or NO_DANGER)

    # --- what takes a question of its own -------------------------------------------------------------

    async def _do(self, intent: do.Intent) -> None:
        """Carry an intent out before the next key is looked at: a key typed ahead means what comes after."""
        self._said = await self.app.act(self._batch, intent) or ""
        self.tick(self.app.now())

    @work
    async def _ask(self, what: str) -> None:
        said = await ask_for(self.app, self._batch, what, self._cautions)
        if said is not None:
            self._said = said
        self.tick(self.app.now())
