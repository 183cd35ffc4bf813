"""One key after another: a key is handed on when what the key before it did is done.

Owns that order, and that what a reader of labels types reaches a screen as one thing. The library hands a
digit to a field at once and a bound key by way of the app, so that what is typed fast overtakes: 40, enter,
4 would be read as 404. Must not know what any key does.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from contextlib import suppress
from typing import Protocol, runtime_checkable

from textual import events
from textual.app import App, ScreenStackError
from textual.message_pump import MessagePump
from textual.widgets import Input

from runner.screens.burst import ENTER, GAP_MS, Pressed, Said, said_of

ROUNDS = 3
"""How often a key's consequences are waited for: what it does, what that posts, what then has the focus."""

_LOOK_AGAIN_S = 0.05
"""How long to wait before looking whether who was to answer has been taken off the screen."""


@runtime_checkable
class Holding(Protocol):
    """A screen on which a key may be the begin of a label that is being read."""

    def holds(self, character: str) -> bool:
        """Whether this character may begin one, as the screen stands now."""
        ...


class KeyOrder:
    """Keys as they were pressed, each handed on in its turn.

    Attributes:
        pressed_ms: When the key now being handled was pressed, whenever its turn came.
    """

    def __init__(
        self,
        app: App[int],
        hand_on: Callable[[events.Key], Awaitable[None]],
        read: Callable[[str | None], None],
    ) -> None:
        """Args: the app; where a key goes; where a label's number goes, or None for what is no number."""
        self._app = app
        self._hand_on = hand_on
        self._read = read
        self._ahead: events.Key | None = None
        self._waiting: asyncio.Queue[events.Key] = asyncio.Queue()
        self._unfinished = 0
        self.pressed_ms = 0

    @property
    def busy(self) -> bool:
        """Whether a key waits for its turn, or has it."""
        return self._unfinished > 0

    def put(self, key: events.Key) -> None:
        """A key has been pressed."""
        self._unfinished += 1
        self._waiting.put_nowait(key)

    async def run(self) -> None:
        """Hand keys on, for as long as there is a screen to press them on."""
        with suppress(ScreenStackError):
            while True:
                await self._next()

    async def _next(self) -> None:
        first, self._ahead = self._ahead or await self._waiting.get(), None
        keys, said = await self._gathered(first)
        if said == "hand":
            for key in keys:
                self.pressed_ms = round(key.time * 1000)
                await self._hand_on(key)
                await self._settled()
        else:
            text = "".join(character for character, _ in map(_pressed, keys)).removesuffix(ENTER)
            self._read(text if said == "number" else None)
            await self._settled()
        self._unfinished -= len(keys)

    async def _settled(self) -> None:
        for _ in range(ROUNDS):
            await self._through()

    async def _gathered(self, first: events.Key) -> tuple[list[events.Key], Said]:
        """A key with those that came with it, where they may be a label's; else the key alone."""
        keys = [first]
        if not (first.is_printable and self._held(first.character or "")):
            return keys, "hand"
        pressed = [_pressed(first)]
        while (said := said_of(pressed, pressed[-1][1])) == "wait":
            try:
                key = await asyncio.wait_for(self._waiting.get(), GAP_MS / 1000)
            except TimeoutError:
                break
            if _pressed(key)[1] - pressed[-1][1] > GAP_MS:
                self._ahead = key
                break
            keys.append(key)
            pressed.append(_pressed(key))
        return keys, said if said != "wait" else said_of(pressed, pressed[-1][1] + GAP_MS + 1)

    def _held(self, character: str) -> bool:
        """Whether a key may begin a label: as its screen says, or a digit where no field takes it."""
        screen = self._app.screen
        if isinstance(screen, Holding):
            return screen.holds(character)
        return character.isdecimal() and not isinstance(self._app.focused, Input)

    async def _through(self) -> None:
        """Wait until everybody on the way of a key, from the field to the app, has done what was before."""
        for node in (self._app.focused or self._app.screen).ancestors_with_self:
            await _done(node)


def _pressed(key: events.Key) -> Pressed:
    return (ENTER if key.key == "enter" else key.character or "", round(key.time * 1000))


async def _done(node: MessagePump) -> None:
    """Wait until a part of the app has handled all it was sent, or is gone."""
    done = asyncio.Event()
    if not node.call_later(done.set):
        return
    while not done.is_set() and node.is_running:
        try:
            await asyncio.wait_for(done.wait(), _LOOK_AGAIN_S)
        except TimeoutError:
            continue
