"""Keys of the line: which are shown, and that a gloved hand's double press counts once.

Owns the list of keys of each screen as it is shown at the foot and under ``?``, and the guard against a
second press. Must not know what a key does: that stands in its screen.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

DOUBLE_PRESS_MS = 300
"""A second press of an action key within this is the same press: a gloved hand or a key's own repeat."""

FACTS_APART_MS = 1500
"""Between two facts by one key, out of a tank and into the next: no rack moves so fast (common practice)."""

MOST_SHOWN = 6
"""Most keys at the foot; the rest stand under ``?``."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key: its name as printed on the cap, what it does in two or three words, and at more length.

    Attributes:
        action: By which a shop gives it another key (`runner.shop.key_map`); empty where it cannot.
    """

    cap: str
    does: str
    more: str = ""
    action: str = ""


def named(cap: str) -> str:
    """What the screen library calls a key that a shop may give."""
    return {"+": "plus", "*": "asterisk", "/": "slash"}.get(cap, cap.lower())


def given(keys: tuple[Key, ...], caps: Mapping[str, str]) -> tuple[Key, ...]:
    """The same keys with the caps that the shop gives them."""
    return tuple(replace(key, cap=caps.get(key.action, key.cap)) for key in keys)


@dataclass(slots=True)
class PressGuard:
    """Lets an action key through once; its second press too soon after that is dropped."""

    _last: dict[str, int] = field(default_factory=dict)

    def passes(self, key: str, pressed_ms: int, apart_ms: int = DOUBLE_PRESS_MS) -> bool:
        """Whether this press is a new one, by when it was pressed: a slow disk makes no press another.

        Args:
            key: Which.
            pressed_ms: When.
            apart_ms: How far apart two presses of it are two.
        """
        since = pressed_ms - self._last.get(key, pressed_ms - apart_ms)
        if not 0 <= since < apart_ms or since < DOUBLE_PRESS_MS:  # a key held down is one press to its end
            self._last[key] = pressed_ms
        return not 0 <= since < apart_ms

    def forget(self, key: str) -> None:
        """A press that came to nothing is as if it had not been."""
        self._last.pop(key, None)


def busy(screen: Screen[Any]) -> bool:
    """Whether a screen is still about what it was asked last: a second press then starts nothing anew."""
    return any(worker.node is screen and not worker.is_finished for worker in screen.workers)


class KeyLine(Static):
    """The foot of a screen: its most used keys, each with what it does."""

    DEFAULT_CSS = "KeyLine { height: 1; dock: bottom; }"

    def __init__(self) -> None:
        super().__init__()
        self._keys: tuple[Key, ...] = ()

    def say(self, keys: tuple[Key, ...]) -> None:
        """Show these keys, at most six of them."""
        keys = given(keys, getattr(self.app, "caps", {}))
        if keys != self._keys:
            self._keys = keys
            self._draw()

    def on_resize(self) -> None:
        """Another width holds other keys."""
        self._draw()

    def _draw(self) -> None:
        # Its own width: the app learns of a resize after its widgets do. Before the first layout it has none.
        shown = fitting(self._keys, self.size.width or self.app.size.width)
        parts = [part for key in shown for part in ((f" {key.cap} ", "reverse"), f" {key.does}  ")]
        self.update(Content.assemble(*parts))


def fitting(keys: tuple[Key, ...], width: int) -> list[Key]:
    """As many keys as stand in a row: the first, and the last, which shows them all, never go."""
    kept = list(keys[:MOST_SHOWN])
    while len(kept) > MOST_SHOWN // 3 and sum(len(key.cap) + len(key.does) + 5 for key in kept) - 2 > width:
        del kept[-3 if len(kept) > MOST_SHOWN // 2 else -2]
    return kept
