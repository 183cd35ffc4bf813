"""What can be asked of the index, and the answer.

Owns the filters and their SQL. Every value goes in as a parameter and comes out as data; text from records
is never part of a statement.
"""

from __future__ import annotations

import contextlib
import gc
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

import msgspec

_NEVER = "9999-12-31T23:59:59.999Z"


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which batches; None or False leaves it open. Texts are found anywhere in the field, in any case.

    Attributes:
        since: RFC 3339 in UTC with milliseconds: under way then or later.
        until: Under way before then.
        revision: Of the procedure, exactly.
        person: Id or name, whole: who signed anything of it or walked a step.
        tank: Id of a tank that it went through, between `since` and `until` where those are given.
        deviation: A word of a deviation: what it was, its detail, or its reason; "" for any.
        is_open: Not ended.
        is_ended: Ended.
        overdue: Not ended, and by `now` something of it is late.
        now: RFC 3339, for `overdue`.
    """

    since: str | None = None
    until: str | None = None
    customer: str | None = None
    part: str | None = None
    procedure: str | None = None
    revision: str | None = None
    person: str | None = None
    tank: str | None = None
    deviation: str | None = None
    is_open: bool = False
    is_ended: bool = False
    overdue: bool = False
    now: str = ""


class Listed(NamedTuple):
    """A batch in the list, by what its journal says; it proves nothing.

    Attributes:
        outcome: What came of it, or what it is doing, or why its journal cannot be read.
        ended: RFC 3339, or empty.
        by: Who ended it, or empty.
        status: ``open``, ``sealed``, ``not sealed`` or ``unread``.
        due: Of an open one, when the next thing should be done at the latest.
        unsettled: Deviations whose parts nobody has decided about.
        record_sha256: Of its record, or empty.
    """

    batch: str
    part: str
    customer: str
    procedure: str
    outcome: str
    ended: str
    by: str
    revision: str
    procedure_sha256: str
    opened: str
    opened_by: str
    status: str
    due: str
    pieces: int
    pieces_released: int | None
    deviations: int
    unsettled: int
    record_sha256: str


class Run(NamedTuple):
    """One time through one step."""

    batch: str
    step: int
    name: str
    tank: str
    entered: str
    left: str
    who: str


class Deviation(NamedTuple):
    """One departure from the plan."""

    batch: str
    number: int
    step: int
    what: str
    detail: str
    reason: str
    disposition: str
    at: str
    who: str


class SpoiltIndex(Exception):
    """The index holds what this program never puts there."""


_Types = tuple[type, ...]
_LISTED = msgspec.json.Decoder(tuple[Listed, ...])


def find(db: sqlite3.Connection, wanted: Wanted) -> tuple[Listed, ...]:
    """The batches wanted, the newest first.

    Raises:
        SpoiltIndex: A row holds what no row holds.
        sqlite3.Error: The file is damaged, or cannot be read.
    """
    clauses, values = _batch_clauses(wanted)
    where = " AND ".join(clauses) or "1"
    sql = f"SELECT listed FROM batches AS b WHERE {where} ORDER BY batch DESC"  # noqa: S608 - clauses are this module's own texts
    with _no_rings():
        found = _listed(db, sql, values)
        if len({len(one.batch) for one in found}) > 1:  # as texts, 2026-9999 would be newer than 2026-10000
            return tuple(sorted(found, key=_age, reverse=True))
        return found


def some(db: sqlite3.Connection, wanted: Wanted, first: int, most: int) -> tuple[int, tuple[Listed, ...]]:
    """How many batches are wanted, and some of them, the newest first.

    Args:
        db: The index.
        wanted: Which batches.
        first: How many of them to pass over.
        most: How many to give at most.

    Raises:
        SpoiltIndex: As `find`.
        sqlite3.Error: As `find`.
    """
    clauses, values = _batch_clauses(wanted)
    where = " AND ".join(clauses) or "1"
    # The order of `_age`, which the whole list is sorted by.
    by_age = "substr(batch, 1, 5) DESC, length(batch) DESC, batch DESC"
    # Names are put in order and cut before anything is fetched: sorting whole rows takes thrice as long.
    names = f"SELECT batch FROM batches AS b WHERE {where} ORDER BY {by_age} LIMIT {most:d} OFFSET {first:d}"  # noqa: S608 - clauses are this module's own texts, the two figures whole numbers
    sql = f"SELECT listed FROM batches WHERE batch IN ({names}) ORDER BY {by_age}"  # noqa: S608 - as above
    ((of,),) = _rows(db, f"SELECT count(*) FROM batches AS b WHERE {where}", values, (int,))  # noqa: S608 - as above
    return of, _listed(db, sql, values)


def runs_through(db: sqlite3.Connection, wanted: Wanted) -> tuple[Run, ...]:
    """Every time that anything went through the tank wanted, between the times wanted, in order of entry.

    Raises:
        SpoiltIndex: As `find`.
        sqlite3.Error: As `find`.
    """
    clauses, values = _run_clauses(wanted)
    columns = 'batch, step, name, tank, entered, "left", who'
    sql = f"SELECT {columns} FROM runs AS r WHERE {' AND '.join(clauses)} ORDER BY entered, batch, run"  # noqa: S608 - clauses are this module's own texts
    return tuple(Run(*row) for row in _rows(db, sql, values, (str, int, str, str, str, str, str)))


def deviations_of(db: sqlite3.Connection, wanted: Wanted) -> tuple[Deviation, ...]:
    """Every deviation that holds the word wanted, by batch and number.

    Raises:
        SpoiltIndex: As `find`.
        sqlite3.Error: As `find`.
    """
    word = (wanted.deviation or "").casefold()
    columns = "batch, number, step, what, detail, reason, disposition, at, who"
    sql = f"SELECT {columns} FROM deviations WHERE instr(words_key, ?) > 0 ORDER BY batch, number"  # noqa: S608 - columns are named above
    types = (str, int, int, str, str, str, str, str, str)
    return tuple(Deviation(*row) for row in _rows(db, sql, [word], types))


def _batch_clauses(wanted: Wanted) -> tuple[list[str], list[str]]:
    clauses: list[str] = []
    values: list[str] = []

    def narrow(clause: str, *given: str) -> None:
        clauses.append(clause)
        values.extend(given)

    for column in ("part", "customer", "procedure"):
        if (text := getattr(wanted, column)) is not None:
            narrow(f"instr({column}_key, ?) > 0", text.casefold())
    if wanted.revision is not None:
        narrow("revision = ?", wanted.revision)
    if wanted.is_open or wanted.overdue:
        narrow("status = 'open'")
    if wanted.is_ended:
        narrow("status <> 'open'")
    if wanted.overdue:
        narrow("due <> '' AND due < ?", wanted.now)
    if wanted.deviation is not None:
        narrow(
            "EXISTS (SELECT 1 FROM deviations AS d WHERE d.batch = b.batch AND instr(d.words_key, ?) > 0)",
            wanted.deviation.casefold(),
        )
    if wanted.person is not None:
        named = "SELECT ? UNION SELECT person FROM people WHERE name_key = ? AND name_key <> ''"
        narrow(
            f"batch IN (SELECT batch FROM people WHERE person IN ({named}))",  # noqa: S608 - the text above
            *(wanted.person, wanted.person.casefold()),
        )
    if wanted.tank is not None:
        through, given = _run_clauses(wanted)
        narrow(f"batch IN (SELECT batch FROM runs AS r WHERE {' AND '.join(through)})", *given)  # noqa: S608 - clauses are this module's own texts
    else:
        for clause, time in _between("b.opened", "b.ended", wanted):
            narrow(clause, time)
    return clauses, values


def _run_clauses(wanted: Wanted) -> tuple[list[str], list[str]]:
    between = _between("r.entered", 'r."left"', wanted)
    return ["r.tank = ?", *(clause for clause, _ in between)], [wanted.tank or "", *(t for _, t in between)]


def _between(began: str, ended: str, wanted: Wanted) -> list[tuple[str, str]]:
    """What was under way at some time between the two; what has not ended still is."""
    clauses = []
    if wanted.until is not None:
        clauses.append((f"{began} < ?", wanted.until))
    if wanted.since is not None:
        clauses.append((f"coalesce(nullif({ended}, ''), '{_NEVER}') >= ?", wanted.since))
    return clauses


def _listed(db: sqlite3.Connection, sql: str, values: list[str]) -> tuple[Listed, ...]:
    """Batches from a query for their rows in the list, each value of its field's type."""
    try:
        return _LISTED.decode(f"[{','.join([row for (row,) in db.execute(sql, values)])}]")
    except (TypeError, ValueError) as error:
        raise SpoiltIndex("a row of the list holds what no row holds") from error


def _rows(db: sqlite3.Connection, sql: str, values: list[str], types: _Types) -> list[tuple[Any, ...]]:
    """The rows of a query, each value of its column's type: the file may be another's."""
    rows: list[tuple[Any, ...]] = db.execute(sql, values).fetchall()
    for row in rows:
        if not all(map(isinstance, row, types)):
            raise SpoiltIndex("a column holds a value of another type")
    return rows


@contextlib.contextmanager
def _no_rings() -> Iterator[None]:
    """Thousands of rows hold no rings of references; looking for some costs a third of an answer's time."""
    looks = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if looks:
            gc.enable()


def _age(one: Listed) -> tuple[str, int, str]:
    """Names count on within a year, and their numbers grow longer."""
    return one.batch[:5], len(one.batch), one.batch
