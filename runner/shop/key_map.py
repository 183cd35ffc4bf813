"""Which key does what, and which keys a shop may give to it: the table, and ``[keys]`` of ``shop.toml``.

Owns the names of the actions with their keys at first, and what may be asked. Digits, enter, escape, the
arrows and ``?`` are never given away: figures, PINs and the way back are the same in every shop. Must not
know a screen, nor a validation library: a board reads it before either is loaded.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from runner.text import shown

EVERYWHERE = "everywhere"

ACTIONS: Mapping[str, Mapping[str, str]] = {
    EVERYWHERE: {"colours": "F2", "big": "F3"},
    "board": {"open": "o", "records": "r", "people": "u", "alarms": "a", "leave": "q"},
    "walk": {
        "go": "space",
        "fact": "f",
        "note": "n",
        "trouble": "t",
        "pause": "p",
        "ammeter": "a",
        "count": "h",
        "correct": "c",
        "redo": "r",
        "unlock": "u",
        "abandon": "x",
        "dangers": "d",
        "why": "w",
        "wrong": "s",
        "board": "b",
    },
    "records": {
        "find": "f",
        "prove": "p",
        "failing": "x",
        "sort": "s",
        "clear": "c",
        "write": "w",
        "board": "b",
    },
    "record": {"deviations": "d", "signatures": "s", "addenda": "a", "back": "b"},
    "people": {"add": "a", "suspend": "s", "new-key": "k", "procedures": "p", "board": "b"},
}
"""The key of each action of each screen, where a shop says nothing."""

_KEY = re.compile(r"[a-z]|space|F([1-9]|1[0-2])|[+*/]")

KEY_WORDS = "a small letter, space, F1 to F12, or one of + * /"

Path = tuple[str | int, ...]
Add = Callable[[Path, str, str], None]
"""Told of each fault: where in the file, what is wrong, what to do."""


def caps(given: Mapping[str, str]) -> dict[str, str]:
    """The key of every action, by ``screen.action``, with those that a shop gave."""
    return {
        f"{screen}.{action}": given.get(f"{screen}.{action}", key)
        for screen, actions in ACTIONS.items()
        for action, key in actions.items()
    }


CAPS: Mapping[str, str] = caps({})
"""Where a shop says nothing."""


def read_keys(data: object, add: Add) -> dict[str, str]:
    """The keys that a shop gives, by ``screen.action``.

    Args:
        data: What stands under ``keys`` in the file.
        add: Told of each fault.
    """
    given: dict[str, str] = {}
    for screen, actions in _tables(data, add):
        for action, key in actions.items():
            at: Path = ("keys", screen, str(action))
            if action not in ACTIONS[screen]:
                known = ", ".join(ACTIONS[screen])
                add(at, f"no key of {screen} does that", f"use one of: {known}")
            elif not isinstance(key, str) or not _KEY.fullmatch(key):
                add(at, f"{shown(repr(key), 40)} is no key that can be given", f"write {KEY_WORDS}")
            else:
                given[f"{screen}.{action}"] = key
    for screen, action, other in _clashes(given):
        place = f"{screen}.{action}" if f"{screen}.{action}" in given else other
        key = caps(given)[place]
        both = f"{screen}.{action} and {other}"
        add(
            ("keys", *place.split(".")),
            f'the key "{key}" would do two things: {both}',
            "give one another key",
        )
    return given


def _tables(data: object, add: Add) -> list[tuple[str, dict[object, object]]]:
    if not isinstance(data, dict):
        add(("keys",), "no table", 'write [keys.walk], and below it lines such as note = "m"')
        return []
    found = []
    for screen, actions in data.items():
        if screen not in ACTIONS:
            add(("keys", screen), "there is no such screen", f"use one of: {', '.join(ACTIONS)}")
        elif not isinstance(actions, dict):
            add(("keys", screen), "no table", f'write [keys.{screen}], and below it lines such as note = "m"')
        else:
            found.append((screen, actions))
    return found


def _clashes(given: Mapping[str, str]) -> list[tuple[str, str, str]]:
    """Each action whose key another of its screen, or one of every screen, has already."""
    every = caps(given)
    clashes = []
    for screen, actions in ACTIONS.items():
        general = {} if screen == EVERYWHERE else ACTIONS[EVERYWHERE]
        taken = {every[f"{EVERYWHERE}.{action}"]: f"{EVERYWHERE}.{action}" for action in general}
        for action in actions:
            key = every[f"{screen}.{action}"]
            if key in taken:
                clashes.append((screen, action, taken[key]))
            taken.setdefault(key, f"{screen}.{action}")
    return clashes
