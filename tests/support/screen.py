"""The app under a pilot: a clock moved by hand, keys pressed, and the screen read back as plain text.

A key press takes half a second of the clock here unless told otherwise, as a hand's would. All invented.
"""

from __future__ import annotations

import asyncio
import io
import os
import re
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import UTC
from pathlib import Path
from typing import Any

from rich.console import Console
from textual.events import Key, Paste
from textual.keys import _character_to_key
from textual.pilot import Pilot

from runner.batch.moment import Moment
from runner.batch.state import BatchState
from runner.procedure.sheet import Plan
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.screens.app import TankwalkApp
from runner.screens.key_order import _done
from support.batches import later
from support.bookings import typed
from support.floors import PIN, STAFF, write_shop
from support.journals import moment
from support.sheets import CARDED, sheet

WAIT_S = 45.0
"""Longest real time to wait for words to come up; the slow part is one key's unlocking."""

SNAPSHOTS = Path(__file__).parents[1] / "screens" / "snapshots"
UPDATE = "UPDATE_SNAPSHOTS"

NOW = 1
"""The row of the walk that says what to do now."""

CHARACTERS = {"space": " ", "question_mark": "?"}


@dataclass
class HandClock:
    """A clock that stands still until it is moved."""

    moment: Moment = field(default_factory=moment)

    def __call__(self) -> Moment:
        return self.moment

    def wait(self, seconds: float) -> None:
        """Let time pass."""
        self.moment = later(self.moment, seconds)


class HeardApp(TankwalkApp):
    """The app, and when its bell rang."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rung: list[Moment] = []

    def bell(self) -> None:
        """Note it too."""
        self.rung.append(self.now())
        super().bell()


@dataclass
class Stage:
    """A running app, and who works it."""

    app: HeardApp
    pilot: Pilot[int]
    clock: HandClock

    @property
    def floor(self) -> Floor:
        """The shop's floor."""
        return self.app.floor

    def text(self) -> str:
        """The screen, row by row, as somebody reads it."""
        return screen_text(self.app)

    def rows(self) -> list[str]:
        """The screen's rows."""
        return self.text().split("\n")

    def row_with(self, words: str) -> str:
        """The first row in which these words stand."""
        return next((row for row in self.rows() if words in row), "")

    def state(self, batch: str) -> BatchState:
        """A batch in hand."""
        return self.app.state(batch)

    async def press(self, *keys: str, each_s: float = 0.5) -> None:
        """Press keys one after another, each taking its time on the clock."""
        for key in keys:
            self.clock.wait(each_s)
            self.send(key)
            await self.settled()

    async def type(self, text: str) -> None:
        """Type a text at once, as a scanner does."""
        self.send(*text)
        await self.settled()

    def send(self, *keys: str) -> None:
        """Let the terminal's driver hand keys over, without waiting for what they come to."""
        assert self.app._driver is not None
        for key in keys:
            character = CHARACTERS.get(key, key if len(key) == 1 else None)
            name = key if key.isalnum() or len(key) > 1 else _character_to_key(key)
            event = Key(name, character)
            event.set_sender(self.app)
            event.time = self.clock().up_ms / 1000
            self.app._driver.send_message(event)

    async def paste(self, text: str) -> None:
        """Paste into the field that has the focus."""
        self.app.post_message(Paste(text))
        await self.settled()

    async def settled(self) -> None:
        """Wait until no intent is on its way to the disk and the screen has drawn."""
        await self.drawn()
        await self.until(lambda: not self.app.keys.busy and not self.app._one.locked(), "the keys were done")
        await self.drawn()

    async def drawn(self) -> None:
        """Wait until the app and the screen that is up have handled what they were sent."""
        for node in (self.app, self.app.screen):
            await _done(node)

    async def wait(self, seconds: float) -> None:
        """Let time pass on the clock, and have the app look at it."""
        self.clock.wait(seconds)
        self.app._tick()
        await self.drawn()

    async def sees(self, *words: str) -> None:
        """Wait until all these words stand on the screen, and it is laid out: half of one tells nothing."""

        def seen() -> bool:
            return not self.app.screen._layout_required and all(word in self.text() for word in words)

        await self.until(seen, f"{words} was seen")

    async def until(self, true: Callable[[], bool], what: str) -> None:
        """Wait for something to be so."""
        end = asyncio.get_running_loop().time() + WAIT_S
        while not true():
            late = asyncio.get_running_loop().time() > end
            assert not late, f"never came to where {what}:\n{self.text()}"
            assert self.app.crash is None, self.app.crash
            await self.drawn()
            await asyncio.sleep(0.002)

    async def pin(self, person: str = "otto", pin: str = PIN) -> None:
        """Choose a person in the window that asks for a PIN, and sign."""
        name = STAFF[person][0]
        await self.sees("another person")
        for _ in STAFF:
            if name in self.text():
                break
            await self.press("down")
        await self.type(pin)
        await self.press("enter")

    async def open(
        self, plan: Plan, who: str = "otto", customer: str = "C-1", part: str = "stirrup irons"
    ) -> str:
        """A batch of a plan made by hand, in hand here; returns its name."""
        session = self.floor.roll.unlock(who, PIN, self.clock())
        return self.floor.open_batch(CARDED, plan, part, customer, session, self.clock())

    async def book(self, **said: str) -> None:
        """Fill the form in for parts of steel, and go on."""
        await self.sees("Plated area of one piece")
        for text in typed(**said):
            await self.type(text)
            await self.press("enter")

    async def walk(self, plan: Plan | None = None) -> str:
        """A batch in hand and its walk on the screen; returns its name."""
        batch = await self.open(plan or sheet())
        self.app.to_walk(batch)
        await self.sees("space")
        return batch


@asynccontextmanager
async def stage(
    folder: Path, *, size: tuple[int, int] = (80, 24), staff: bool = True, notice: str = ""
) -> AsyncIterator[Stage]:
    """The app on a small shop in a folder, which is made where there is none."""
    shop = folder / "shop"
    if not shop.exists():
        write_shop(shop)
    keys = Keys(folder / "keys", rounds=1)
    floor = Floor(shop, keys)
    clock = HandClock()
    if staff and not floor.roll.people():
        owner = None
        for who, (name, role) in STAFF.items():
            floor.roll.add(who, name, role, PIN, owner, clock())
            owner = owner or floor.roll.unlock(who, PIN, clock())
    app = HeardApp(floor, clock, notice=notice, zone=UTC)
    async with app.run_test(size=size, notifications=True) as pilot:
        await pilot.pause()
        yield Stage(app, pilot, clock)
        assert app.crash is None, app.crash


def screen_text(app: TankwalkApp) -> str:
    """What stands on the screen, modal windows included, without trailing blanks."""
    width, height = app.size
    console = Console(
        width=width, height=height, file=io.StringIO(), force_terminal=True, color_system=None, record=True
    )
    drawn: Any = app.screen._compositor.render_update(full=True, screen_stack=app._background_screens)
    console.print(drawn)
    rows = console.export_text().split("\n")[:height]
    return "\n".join(row.rstrip() for row in rows)


def matches_snapshot(name: str, text: str) -> None:
    """Compare a screen with the one kept under a name; rewrite that where the environment says so."""
    file = SNAPSHOTS / f"{name}.txt"
    text = re.sub(r"SHA256:[A-Za-z0-9+/]{43}", "SHA256:" + "x" * 43, text).rstrip("\n") + "\n"
    text = re.sub(r"\b[0-9a-f]{64}\b", "x" * 64, text)
    if os.environ.get(UPDATE) == "1":
        file.parent.mkdir(exist_ok=True)
        file.write_text(text, encoding="utf-8")
    kept = file.read_text(encoding="utf-8") if file.exists() else ""
    assert text == kept, f"{name} looks different; look at it, then set {UPDATE}=1 to keep it"
