"""Lines of a shop's journal put together by hand, sound or not. Invented."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from runner.record import shop_events as ev
from runner.record import sshsig
from runner.record.lines import GENESIS, Line, dump, line_hash, unsigned_bytes
from runner.record.shop_fold import fold_lines
from runner.record.shop_state import ShopState
from support.journals import moment, public, signer

if TYPE_CHECKING:
    pass

HASH = "ab" * 32


def line_of(number: int) -> str:
    """The public line of a key."""
    return sshsig.public_line(public(number))


OWNER = ev.PersonAdded("olive", "Olive Demo", "owner", line_of(1))
OPERATOR = ev.PersonAdded("otto", "Otto Demo", "operator", line_of(2))
TRAINEE = ev.PersonAdded("tess", "Tess Demo", "trainee", line_of(3))

Told = tuple[str, dict[str, Any], str, int | None]
"""A line: its kind, its data, who wrote it, and the number of the key that signed it."""


def added(who: str, role: str, number: int, by: str = "olive", signed: int | None = 1) -> Told:
    """A line that adds a person."""
    return "person-added", {"id": who, "name": who.title(), "role": role, "key": line_of(number)}, by, signed


def changed(
    who: str, role: str, number: int, *, active: bool = True, by: str = "olive", signed: int = 1
) -> Told:
    """A line that changes a person."""
    data = {"id": who, "name": who.title(), "role": role, "key": line_of(number), "active": active}
    return "person-changed", data, by, signed


def opened(batch: str, *others: str, by: str = "otto", signed: int = 2) -> Told:
    """A line that opens a batch."""
    return "batch-opened", {"batch": batch, "first": HASH, "open": dict.fromkeys(others, HASH)}, by, signed


def closed(batch: str, kind: str = "batch-sealed", by: str = "otto", signed: int = 2) -> Told:
    """A line that seals or abandons one."""
    return kind, {"batch": batch, "record": HASH}, by, signed


FOUNDED = added("olive", "owner", 1)
STAFFED = (FOUNDED, added("otto", "operator", 2), added("tess", "trainee", 3))


def lines(*told: Told) -> list[Line]:
    """Those lines in a sound chain."""
    made: list[Line] = []
    prev = GENESIS
    for seq, (kind, data, who, number) in enumerate(told, start=1):
        line = Line(seq, moment(seq), kind, data, who, prev)
        if number is not None:
            line = line._replace(sig=signer(number).sign(unsigned_bytes(line)))
        made.append(line)
        prev = line_hash(dump(line))
    return made


def state(*told: Told) -> ShopState:
    """What they come to."""
    return fold_lines(lines(*told))
