"""The index of a shop's records: a cache that answers questions over all of them at once.

Owns the file ``logs/index.sqlite`` and its freshness. It is made from the journals and records, may be
deleted at any time, and is never trusted for a proof: `runner.record.verify` does not know it. A file that is
damaged, of another version or not this program's is made anew; where none can be written (records on a
read-only disk) the index lives in memory for one question.

What changed is told by the size and time of change of a batch's files. Whoever rewrites a file under its old
size and time deceives the list, and no proof.
"""

from __future__ import annotations

import contextlib
import os
import re
import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from runner.record.index_query import (
    Deviation,
    Listed,
    Run,
    SpoiltIndex,
    Wanted,
    deviations_of,
    find,
    runs_through,
    some,
)
from runner.record.index_rows import Row, mark_of, rows_of
from runner.record.index_schema import APPLICATION, FILLED, TABLES, VERSION
from runner.record.progress import Told, untold

FILE = "index.sqlite"

_NAME = re.compile(r"[0-9]{4}-[0-9]{4,12}")
_KEPT_EVERY = 500  # batches after which what was read so far is kept, should it be broken off
_WAIT_S = 10.0  # for another terminal that writes the index
_SPOILT = frozenset({sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_FORMAT})


_Answer = TypeVar("_Answer")


@dataclass(frozen=True, slots=True)
class Found:
    """An answer.

    Attributes:
        batches: The newest first.
        runs: Times through the tank asked for; empty where none was.
        deviations: That hold the word asked for, of these batches; empty where none was.
    """

    batches: tuple[Listed, ...]
    runs: tuple[Run, ...] = ()
    deviations: tuple[Deviation, ...] = ()


def search(logs: Path, wanted: Wanted, told: Told = untold) -> Found:
    """Bring the index up to date, and ask it.

    Args:
        logs: A shop's folder of logs.
        wanted: Which batches.
        told: Called while journals are read.

    Raises:
        OSError: The folder cannot be read.
    """
    return _answer(logs, lambda db: _asked(db, wanted), told) if logs.is_dir() else Found(())


def page(
    logs: Path, wanted: Wanted, first: int, most: int, told: Told = untold
) -> tuple[int, tuple[Listed, ...]]:
    """Bring the index up to date, and ask it for some of the batches, the newest first.

    Args:
        logs: A shop's folder of logs.
        wanted: Which batches.
        first: How many of them to pass over.
        most: How many to give at most.
        told: Called while journals are read; what it raises ends the reading, and what was kept stays.

    Returns:
        How many batches are wanted in all, and those.

    Raises:
        OSError: The folder cannot be read.
    """
    return _answer(logs, lambda db: some(db, wanted, first, most), told) if logs.is_dir() else (0, ())


def _answer(logs: Path, ask: Callable[[sqlite3.Connection], _Answer], told: Told) -> _Answer:
    """Ask the index once it is up to date; one that is spoilt is made anew, in memory if it must be."""
    path = logs / FILE
    for place in (str(path), str(path), ":memory:"):
        try:
            if place != ":memory:":
                _only_a_file(path)
            with contextlib.closing(_opened(place)) as db:
                refresh(db, logs, told)
                return ask(db)
        except SpoiltIndex:
            _discard(path)
        except sqlite3.Error as error:
            # Locked, full or read-only: no reason to take away what another terminal is using.
            if (error.sqlite_errorcode & 0xFF if hasattr(error, "sqlite_errorcode") else 0) in _SPOILT:
                _discard(path)
    raise AssertionError("an index in memory is always sound")


def _asked(db: sqlite3.Connection, wanted: Wanted) -> Found:
    batches = find(db, wanted)
    names = {one.batch for one in batches}
    return Found(
        batches,
        tuple(run for run in runs_through(db, wanted) if run.batch in names)
        if wanted.tank is not None
        else (),
        tuple(one for one in deviations_of(db, wanted) if one.batch in names)
        if wanted.deviation is not None
        else (),
    )


def refresh(db: sqlite3.Connection, logs: Path, told: Told = untold) -> int:
    """Read what is new or has changed, and forget what is gone; returns how many batches were read.

    Raises:
        OSError: The folder cannot be read.
        SpoiltIndex: A row holds what no row holds.
        sqlite3.Error: The index cannot be written, or is damaged.
    """
    there = _marks(logs)
    known: dict[object, object] = dict(db.execute("SELECT batch, mark FROM batches"))
    gone = [name for name in known if name not in there]
    changed = sorted(name for name, mark in there.items() if known.get(name) != mark)
    if not gone and not changed:
        return 0
    _forget(db, gone)
    told(0, len(changed))
    for done, name in enumerate(changed, start=1):
        rows = rows_of(logs / name, there[name])
        _forget(db, [name])
        for table, filling in zip(
            FILLED, ([rows.batch], rows.runs, rows.signatures, rows.people, rows.deviations), strict=True
        ):
            _fill(db, table, filling)
        if done % _KEPT_EVERY == 0:
            db.commit()
        told(done, len(changed))
    db.commit()
    return len(changed)


def _marks(logs: Path) -> dict[str, str]:
    """Every production batch that lies there, with the mark of its files."""
    with os.scandir(logs) as entries:
        folders = [
            entry.name
            for entry in entries
            if _NAME.fullmatch(entry.name) and entry.is_dir(follow_symlinks=False)
        ]
    return {name: mark for name in folders if (mark := mark_of(logs / name)) is not None}


def _forget(db: sqlite3.Connection, names: Sequence[object]) -> None:
    for table in FILLED:
        db.executemany(f"DELETE FROM {table} WHERE batch = ?", [(name,) for name in names])  # noqa: S608 - this program's tables


def _fill(db: sqlite3.Connection, table: str, rows: Sequence[Row]) -> None:
    if rows:
        marks = ", ".join("?" * len(rows[0]))
        db.executemany(f"INSERT INTO {table} VALUES ({marks})", rows)  # noqa: S608 - this program's tables


def _opened(place: str) -> sqlite3.Connection:
    """The index at a place, with its tables.

    Raises:
        SpoiltIndex: Another program's file, or another version's.
        sqlite3.Error: It cannot be opened, or is damaged.
    """
    db = sqlite3.connect(place, timeout=_WAIT_S, isolation_level="IMMEDIATE")
    try:
        _settle(db)
    except BaseException:
        db.close()
        raise
    return db


def _settle(db: sqlite3.Connection) -> None:
    db.execute("PRAGMA trusted_schema = OFF")
    db.execute("PRAGMA synchronous = OFF")  # a cache: what a power cut spoils is read again
    (application,), (version,) = (
        db.execute(f"PRAGMA {name}").fetchone() for name in ("application_id", "user_version")
    )
    texts = [str(text) for (text,) in db.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL")]
    if (application, version, texts) == (0, 0, []):
        _make(db)
    elif (application, version, sorted(texts)) != (APPLICATION, VERSION, sorted(TABLES)):
        raise SpoiltIndex("of another version, or another program's")


def _make(db: sqlite3.Connection) -> None:
    db.execute("BEGIN IMMEDIATE")
    for text in TABLES:
        db.execute(text)
    db.execute(f"PRAGMA application_id = {APPLICATION}")
    db.execute(f"PRAGMA user_version = {VERSION}")
    db.commit()


def _only_a_file(path: Path) -> None:
    """A link in the index's place would have this program write somewhere else."""
    if path.is_symlink():
        _discard(path)


def _discard(path: Path) -> None:
    """Take a spoilt index away, with what SQLite keeps beside it; what cannot be, stays and is not used."""
    for file in (path, path.with_name(f"{FILE}-journal"), path.with_name(f"{FILE}-wal")):
        with contextlib.suppress(OSError):
            file.unlink()
