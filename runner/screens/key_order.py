"""One key after another: a key is handed on when what the key before it did is done.

Owns that order. The library hands a digit to a field at once and a bound key by way of the app, so that
what is typed fast, or comes from a scanner in one go, overtakes: 40, enter, 4 would be read as 404. Must
not know what any key does.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from textual import events
from textual.app import App
from textual.message_pump import MessagePump

ROUNDS = 3
"""How often a key's consequences are waited for: what it does, what that posts, what then has the focus."""

_LOOK_AGAIN_S = 0.05
"""How long to wait before looking whether who was to answer has been taken off the screen."""


class KeyOrder:
    """Keys as they were pressed, each handed on in its turn.

    Attributes:
        pressed_ms: When the key now being handled was pressed, whenever its turn came.
    """

    def __init__(self, app: App[int], hand_on: Callable[[events.Key], Awaitable[None]]) -> None:
        self._app = app
        self._hand_on = hand_on
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
        """Hand keys on, for as long as the app runs."""
        while True:
            key = await self._waiting.get()
            self.pressed_ms = round(key.time * 1000)
            await self._hand_on(key)
            for _ in range(ROUNDS):
                await self._through()
            self._unfinished -= 1

    async def _through(self) -> None:
        """Wait until everybody on the way of a key, from the field to the app, has done what was before."""
        for node in (self._app.focused or self._app.screen).ancestors_with_self:
            await _done(node)


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
