"""Any run of writes, failures, power cuts and torn tails leaves every acknowledged line, in one chain."""

from __future__ import annotations

import errno
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from runner.record.journal import Entry, Journal
from runner.record.journal_errors import NotWritten
from runner.record.lines import Line
from runner.record.reader import prove
from support.journals import FaultyDisk, entry, moment, public


class Batch(RuleBasedStateMachine):
    """A batch's journal on a bad disk, with a memory of what the person was told."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.path = self.folder / "journal.jsonl"
        self.disk = FaultyDisk()
        self.told: list[Line] = []
        self.second = 0

    @initialize()
    def begin(self) -> None:
        """A journal with its first line."""
        self.journal = Journal.create(self.path, entry(0, "batch-opened"), disk=self.disk)
        self.told.extend(self.journal.lines)

    def wanted(self, count: int) -> list[Entry]:
        """Entries of which every third is signed."""
        self.second += 1
        return [entry(self.second, signed=number % 3 == 0) for number in range(count)]

    @rule(count=st.integers(1, 3))
    def write(self, count: int) -> None:
        """Ask for lines; only what comes back was told."""
        try:
            self.told.extend(self.journal.append_many(self.wanted(count)))
        except NotWritten:
            assert self.disk.failing or self.disk.room is not None

    @rule(room=st.integers(0, 1200))
    def fill(self, room: int) -> None:
        """The disk has little room."""
        self.disk.room = room

    @rule(call=st.sampled_from(["write", "fsync", "truncate", "stat", "open"]))
    def break_(self, call: str) -> None:
        """A call fails from here on."""
        self.disk.failing[call] = errno.EIO

    @rule()
    def heal(self) -> None:
        """The disk is well."""
        self.disk.heal()

    @rule(tail=st.binary(max_size=300))
    def lose_power(self, tail: bytes) -> None:
        """The program ends; the disk is mended, with some bytes of a write at the end of the file."""
        self.disk.heal()
        self.journal.close()
        with self.path.open("ab") as file:
            file.write(tail.replace(b"\n", b""))
        self.journal = Journal.open(self.path, moment(self.second), disk=self.disk)
        assert self.journal.lines[: len(self.told)] == self.told
        self.told = list(self.journal.lines)

    @invariant()
    def what_was_told_is_there(self) -> None:
        """A reader finds every line that was told, and before it no other."""
        proof = prove(self.path.read_bytes(), {"op-1": {public()}}, must_sign=lambda _: False)
        assert [line for _, line in proof.lines][: len(self.told)] == self.told
        assert self.journal.lines == self.told

    def teardown(self) -> None:
        """Once the disk is well, it goes on, and the whole journal proves."""
        self.disk.heal()
        if hasattr(self, "journal"):
            self.told.extend(self.journal.append_many([entry(self.second + 1)]))
            proof = prove(self.path.read_bytes(), {"op-1": {public()}}, must_sign=lambda _: False)
            assert [line for _, line in proof.lines] == self.told
            assert (proof.findings, proof.uncovered) == ([], [])
            self.journal.close()
        shutil.rmtree(self.folder)


TestBatch = pytest.mark.timeout(60)(Batch.TestCase)
TestBatch.settings = settings(max_examples=40, stateful_step_count=25, deadline=None)
