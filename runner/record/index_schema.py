"""What stands in the index of a shop's records.

Owns the tables. The index is a cache: whatever it holds was read from journals and records and can be read
again, so a change of these tables needs a new `VERSION` and nothing else.
"""

from __future__ import annotations

VERSION = 3
"""Of the tables and of how they are filled; an index of another version is made anew."""

APPLICATION = 0x746B776B
"""Marks the file as this program's (SQLite keeps such a number in a file's head)."""

# Times are text of one length, so that text sorts as time; *_key columns hold case-folded text to search in.
# The columns of a batch are what is asked by; what is answered is one text of JSON, as `Listed`, since its
# eighteen columns took thrice as long to fetch.
TABLES = (
    """CREATE TABLE batches (
        batch TEXT NOT NULL PRIMARY KEY,
        mark TEXT NOT NULL,
        part_key TEXT NOT NULL,
        customer_key TEXT NOT NULL,
        procedure_key TEXT NOT NULL,
        revision TEXT NOT NULL,
        opened TEXT NOT NULL,
        ended TEXT NOT NULL,
        status TEXT NOT NULL,
        due TEXT NOT NULL,
        listed TEXT NOT NULL
    ) STRICT, WITHOUT ROWID""",
    """CREATE TABLE runs (
        batch TEXT NOT NULL,
        run INTEGER NOT NULL,
        step INTEGER NOT NULL,
        name TEXT NOT NULL,
        tank TEXT NOT NULL,
        solution TEXT NOT NULL,
        entered TEXT NOT NULL,
        "left" TEXT NOT NULL,
        who TEXT NOT NULL,
        PRIMARY KEY (batch, run)
    ) STRICT, WITHOUT ROWID""",
    """CREATE TABLE signatures (
        batch TEXT NOT NULL,
        line INTEGER NOT NULL,
        person TEXT NOT NULL,
        name TEXT NOT NULL,
        name_key TEXT NOT NULL,
        role TEXT NOT NULL,
        meaning TEXT NOT NULL,
        at TEXT NOT NULL,
        step INTEGER,
        PRIMARY KEY (batch, line)
    ) STRICT, WITHOUT ROWID""",
    """CREATE TABLE people (
        batch TEXT NOT NULL,
        person TEXT NOT NULL,
        name_key TEXT NOT NULL,
        PRIMARY KEY (batch, person, name_key)
    ) STRICT, WITHOUT ROWID""",
    """CREATE TABLE deviations (
        batch TEXT NOT NULL,
        number INTEGER NOT NULL,
        step INTEGER NOT NULL,
        what TEXT NOT NULL,
        detail TEXT NOT NULL,
        reason TEXT NOT NULL,
        disposition TEXT NOT NULL,
        at TEXT NOT NULL,
        who TEXT NOT NULL,
        words_key TEXT NOT NULL,
        PRIMARY KEY (batch, number)
    ) STRICT, WITHOUT ROWID""",
    "CREATE INDEX runs_by_tank ON runs (tank, entered)",
    "CREATE INDEX people_by_person ON people (person, batch)",
    "CREATE INDEX people_by_name ON people (name_key, person)",
)

FILLED = ("batches", "runs", "signatures", "people", "deviations")
"""The tables that hold rows of a batch, by the column ``batch``."""
