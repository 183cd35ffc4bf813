"""What of a shop's file a terminal needs before a batch is opened, read at once.

Owns that short cut: a board is up long before the validation of a whole shop is loaded, and a walk under
way needs none of it. Where anything looks odd the whole file is read, and says what is wrong with it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from runner.faults import InputFault
from runner.shop.finding import shop_file
from runner.shop.key_map import read_keys
from runner.text import unfit
from runner.toml_file import load
from runner.units import Kind, read


@dataclass(frozen=True, slots=True)
class OwnCommand:
    """A command of the shop's own: program and arguments, and how long it may take."""

    arguments: tuple[str, ...]
    timeout_s: float


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands over the board, and when it locks.

    Attributes:
        title: What the shop calls itself.
        lock_after_s: How long keys stay unlocked without a key press; None where the shop does not say.
        keys: Those that the shop gives otherwise, by ``screen.action``.
        alarm: What the shop has run for an alarm, or None.
        big_print: Whether the walk begins in big print.
    """

    title: str
    lock_after_s: float | None
    keys: Mapping[str, str] = field(default_factory=dict)
    alarm: OwnCommand | None = None
    big_print: bool = False


def heading(folder: Path) -> Heading:
    """The heading of a folder that holds ``procedures/shop.toml``.

    Raises:
        InputFault: Everything that is wrong with the file, by line.
    """
    found = _quick(load(shop_file(folder)).data)
    if found is not None:
        return found
    from runner.shop.reading import load_shop  # noqa: PLC0415  # the slow way, only where it is wanted

    shop = load_shop(folder)
    own = shop.alarm
    alarm = OwnCommand(own.command, own.timeout_s) if own else None
    return Heading(shop.title, shop.limits.lock_after_s, shop.keys, alarm, shop.big_print)


def _quick(data: dict[str, Any]) -> Heading | None:
    """The heading where it is plain to see, else None."""
    if "alarm" in data:
        return None  # a command to be run is read strictly
    title, limits = data.get("title"), data.get("limits", {})
    if data.get("format") != 1 or not isinstance(title, str) or not title or unfit(title):
        return None
    big_print = data.get("big_print", False)
    if not isinstance(big_print, bool):
        return None
    odd: list[str] = []
    keys = read_keys(data.get("keys", {}), lambda _at, wrong, _remedy: odd.append(wrong))
    if odd:
        return None
    after = limits.get("lock_after") if isinstance(limits, dict) else False
    if after is None:
        return Heading(title, None, keys, big_print=big_print)
    try:
        after_s = read(after, Kind.TIME) if isinstance(after, str) else 0.0
    except InputFault:
        return None
    return Heading(title, after_s, keys, big_print=big_print) if after_s > 0 else None
