"""The terminal app: a table of contents.

Owns which screen is up, the one shared tick, and the way of an intent to the disk and back. Holds no state
of any job: what a batch is comes from its journal, through `runner.record.floor`.
"""

from __future__ import annotations

import asyncio
import signal
import traceback
from collections.abc import Callable
from datetime import tzinfo
from typing import ClassVar, Protocol, runtime_checkable

from textual import events
from textual.binding import Binding, BindingType

from runner.batch.decide import Refused
from runner.batch.intents import Intent, Take
from runner.batch.moment import Moment
from runner.batch.sharing import energised_in_tank
from runner.batch.state import BatchState
from runner.record.floor import CannotOpen, Floor
from runner.record.journal_errors import JournalError
from runner.record.layout import PRACTICE, RECORD
from runner.record.session import Session
from runner.screens import look
from runner.screens.alarm_words import for_command
from runner.screens.board import BoardScreen
from runner.screens.first_start import FirstStartScreen
from runner.screens.kept import KeptScreens
from runner.screens.key_order import KeyOrder
from runner.screens.keyboard import HUNG_UP
from runner.screens.keys import PressGuard, named
from runner.screens.siren import Siren
from runner.shop.key_map import caps
from runner.text import shown

TICK_S = 0.5
"""How often the clocks are looked at; they show seconds, and are repainted only when they change."""

AT_ONCE = frozenset({"ctrl+c", "ctrl+q"})
"""Keys that wait for no other: the way out."""

BELL_EVERY_S = 4.0
"""How often the bell is sounded while a lift-out waits for a hand."""


@runtime_checkable
class Ticking(Protocol):
    """A screen that shows a clock."""

    def tick(self, now: Moment) -> None:
        """Draw what has changed."""
        ...


class TankwalkApp(KeptScreens):
    """The app on one shop's floor.

    Args:
        floor: The shop.
        clock: Tells the moment; a rehearsal hands in a fast one.
        notice: A line shown on the board, such as the demo's PIN.
        zone: Time zone for wall times; the machine's own where None.
        big: Whether the walk begins in big print.
    """

    TITLE = "Tankwalk"
    CSS = look.CSS
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+c,ctrl+q", "leave", "leave", priority=True, show=False),
        Binding("f2", "next_theme", "colours", show=False, id="everywhere.colours"),
        Binding("f3", "big", "big print", show=False, id="everywhere.big"),
    ]

    def __init__(
        self,
        floor: Floor,
        clock: Callable[[], Moment],
        *,
        notice: str = "",
        zone: tzinfo | None = None,
        big: bool = False,
    ) -> None:
        super().__init__()
        for theme in look.THEMES:
            self.register_theme(theme)
        self.theme = look.DARK.name
        self.floor = floor
        self.now = clock
        self.notice = notice
        self.zone = zone
        self.big = big
        self.guard = PressGuard()
        self.siren = Siren(floor.alarm_command)
        self.keys = KeyOrder(self, super().on_event, self.read)
        self.caps = caps(floor.keys_given)
        self.trouble: str | None = None
        self.crash: str | None = None
        self._one = asyncio.Lock()
        self._bell_ms, self._put_off = 0, False
        self._key_ms = clock().up_ms

    # --- start and end ------------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Themes, signals, the tick, and the first screen."""
        self.animation_level = "none"
        self.set_keymap({action: named(cap) for action, cap in self.floor.keys_given.items()})
        loop = asyncio.get_running_loop()
        for number in (signal.SIGTERM, signal.SIGHUP):
            loop.add_signal_handler(number, self.exit, None, 128 + number)
        self.set_interval(TICK_S, self._tick_unless_pressed)
        self.run_worker(self.keys.run(), group="keys")
        self.push_screen(self.HOME())
        if not self.floor.roll.people():
            self.push_screen(FirstStartScreen())

    async def on_event(self, event: events.Event) -> None:
        """Keys wait for their turn; each keeps the people's keys unlocked a while longer."""
        if isinstance(event, events.Key):
            self._key_ms = self.now().up_ms
            if len(self._notifications):  # read, and in the way of what comes
                self.clear_notifications()
        if isinstance(event, events.Key) and not event.is_forwarded and event.key not in AT_ONCE:
            self.keys.put(event)
        else:
            await super().on_event(event)

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our own colour names, known before a theme is."""
        return look.DARK.variables

    def _handle_exception(self, error: Exception) -> None:
        """A fault of our own ends the app with the terminal sane; the report is written outside it."""
        # What follows a first fault is its consequence, and would hide it.
        self.crash = self.crash or "".join(traceback.format_exception(error))
        self.exit(return_code=1)

    def on_unmount(self) -> None:
        """Let other terminals have the batches."""
        self.floor.close()

    def action_leave(self) -> None:
        """Leave; every walk goes on from its journal."""
        self.exit(return_code=0)

    def action_next_theme(self) -> None:
        """Dark, light, high contrast."""
        names = [theme.name for theme in look.THEMES]
        self.theme = names[(names.index(self.theme) + 1) % len(names)]

    def action_big(self) -> None:
        """Big print, or small."""
        self.big = not self.big
        self._tick()

    def _tick_unless_pressed(self) -> None:
        """The shared tick; a key that is being answered goes first, and draws its own screen."""
        if self.keys.busy and not self._put_off:
            self._put_off = True
        else:
            self._put_off = False
            self._tick()

    def _tick(self) -> None:
        now = self.now()
        if getattr(self._driver, "gone", False):
            self.exit(return_code=HUNG_UP)
        if now.up_ms - self._key_ms > self.floor.lock_after_s * 1000 and self.floor.lock():
            self.notify("nobody was here for a while: keys are locked, facts are still taken", markup=False)
        # A window with a question lies over a walk that goes on: what can be seen behind it stays true.
        for screen in reversed(self.screen_stack):
            if screen.is_mounted and isinstance(screen, Ticking):
                screen.tick(now)
            if not screen.is_modal:
                break
        alarms = self.floor.alarms(now)
        for call in self.siren.new(alarms):
            self.run_worker(self._sound(for_command(call, self.floor.states())), group="siren")
        if any(call.rings for call in alarms) and now.up_ms - self._bell_ms >= BELL_EVERY_S * 1000:
            self._bell_ms = now.up_ms
            self.bell()

    async def _sound(self, words: dict[str, str]) -> None:
        """The shop's own command, beside the screen."""
        if wrong := await asyncio.to_thread(self.siren.run, words):
            self.notify(shown(wrong, 200), severity="warning", markup=False, timeout=10)

    # --- screens --------------------------------------------------------------------------------------

    def read(self, number: str | None) -> None:
        """A label was read: to that batch, walked or kept; None for one that names no batch."""
        if number is None:
            self.notify("that label is no batch's: a number such as 2026-0007 was expected", markup=False)
            return
        if self.screen.is_modal:
            self.notify("a label was read: answer this first, or leave it, and read it again", markup=False)
            return
        shop, name = self.floor.roll.state, number.casefold()
        practice = name.startswith("practice-")
        folder = self.floor.logs / (f"{PRACTICE}/{name}" if practice else name)
        told = shop.batches.get(name) if shop and not practice else None
        if told is not None and told.record is None:
            self.to_board()
            if isinstance(self.screen, BoardScreen):
                self.screen.go(name)
        elif told is not None or (practice and folder.is_dir()):
            from runner.screens.record import RecordScreen  # noqa: PLC0415  # loads the printing only here

            self.to_board()
            self.push_screen(RecordScreen(folder))
        else:
            self.notify(f"no batch {name} is known in this shop", severity="warning", markup=False)

    # --- the way of an intent ---------------------------------------------------------------------------

    def state(self, batch: str) -> BatchState:
        """A batch in hand, as its journal tells it."""
        return self.floor.hold(batch).state

    def session(self, batch: str) -> Session | None:
        """Whose key is unlocked for a batch, or None."""
        return self.floor.session(batch)

    def area_in_tank(self, batch: str) -> float | None:
        """Energised area of all racks in the tank that a batch is in; None where it is alone."""
        return energised_in_tank(self.floor.states(), batch)

    async def unlock(self, who: str, pin: str) -> Session:
        """A person's session; the slow part runs beside the screen.

        Raises:
            NotUnlocked: And why.
        """
        return await asyncio.to_thread(self.floor.roll.unlock, who, pin, self.now())

    async def take(self, batch: str, session: Session) -> str | None:
        """Have a batch in hand from here on, signed with this session's key."""
        self.floor.use(batch, session)
        return await self.act(batch, Take(), session)

    async def act(self, batch: str, intent: Intent, session: Session | None = None) -> str | None:
        """Carry an intent out, on the disk before it is shown.

        Args:
            batch: Which batch.
            intent: What is wanted.
            session: Unlocked for this very act; the batch's own session otherwise.

        Returns:
            What is to be said at the line, or None where it is simply done.
        """
        # A screen that is left takes its questions with it; what was begun on the disk is finished.
        return await asyncio.shield(self._act(batch, intent, session))

    async def _act(self, batch: str, intent: Intent, session: Session | None) -> str | None:
        async with self._one:
            now = self.now()
            try:
                await asyncio.to_thread(self.floor.act, batch, intent, now, session)
            except Refused as refused:
                return f"{refused.reason}: {refused.remedy}"
            except JournalError as error:
                self.trouble = "▲ NOT WRITTEN: carry on on paper, note the times, then press the key again"
                return str(error.fault)
            except CannotOpen as error:
                self.to_board()
                self.notify(str(error), severity="error", markup=False, timeout=10)
                return str(error)
            self.trouble = None
        if self.state(batch).phase.ended:
            self._put_away(batch)
        return None

    async def seal(self, batch: str, session: Session) -> str:
        """Seal a batch that ended without being sealed; gives back what is to be said."""
        async with self._one:
            try:
                await asyncio.to_thread(self.floor.seal, batch, session, self.now())
            except CannotOpen as error:
                return str(error)
        self._put_away(batch)
        return f"batch {batch} is sealed"

    def _put_away(self, batch: str) -> None:
        """A batch that ended leaves the board; its record is said where it lies."""
        phase = self.state(batch).phase
        self.floor.put_away(batch)
        self.to_board()
        record = self.floor.logs / batch / RECORD
        self.notify(f"batch {batch} is {phase} and sealed: {record}", markup=False, timeout=10)
