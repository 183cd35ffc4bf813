"""What a crash between two journals leaves, and how it is made whole.

Owns the orphan: a batch whose first line reached the disk and whose line in the shop's journal did not.
Whoever opens a batch next adopts it, with the hash of its first line as it stands.
"""

from __future__ import annotations

import re
from pathlib import Path

from runner.batch.moment import Moment
from runner.record.lines import LineFault, line_hash, parse, raw_lines
from runner.record.reading import read_journal
from runner.record.session import Session
from runner.record.shop_events import BatchOpened
from runner.record.shop_journal import ShopJournal
from runner.record.shop_state import ShopState
from runner.record.torn import Broken, split

_NAME = re.compile(r"[0-9]{4}-[0-9]{4,}")


def last_hashes(shop: ShopState, logs: Path) -> dict[str, str]:
    """For every open batch the hash of its journal's last whole line; empty where it cannot be read."""
    return {name: _last_hash(logs / name) for name in shop.open_batches}


def _last_hash(folder: Path) -> str:
    try:
        raw = read_journal(folder)
        _, length = split(raw)
    except (OSError, Broken):
        return ""
    return line_hash(raw_lines(raw[:length])[0][-1])


def adopt_orphans(shop: ShopJournal, logs: Path, session: Session, now: Moment) -> tuple[str, ...]:
    """Name in the shop's journal every batch that it does not know; returns their names."""
    adopted = []
    for folder in sorted(logs.iterdir()):
        if folder.name in shop.state.batches or not _NAME.fullmatch(folder.name) or folder.is_symlink():
            continue
        first = _first_line(folder)
        if first is None:
            continue
        event = BatchOpened(batch=folder.name, first=first, open=last_hashes(shop.state, logs))
        shop.write(event, session.person.id, now, session.signer)
        adopted.append(folder.name)
    return tuple(adopted)


def _first_line(folder: Path) -> str | None:
    """Hash of a batch's first line, where it is whole; an empty folder was never acknowledged."""
    try:
        lines, _ = raw_lines(read_journal(folder))
        parse(lines[0])
    except (OSError, IndexError, LineFault):
        return None
    return line_hash(lines[0])
