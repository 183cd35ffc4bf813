"""One process writes a journal at a time, and the others learn which."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
from typing import TYPE_CHECKING

import pytest

from runner.record import durable
from runner.record.journal import Journal
from runner.record.lock import Held, Holder, WriterLock, holder
from support.journals import entry, moment

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

HOLDING = """
import sys
from pathlib import Path
from runner.batch.moment import Moment
from runner.record.journal import Journal
held = Journal.open(Path(sys.argv[1]), Moment(1_767_261_600_000, "boot-1", 0))
print("held", flush=True)
sys.stdin.read()
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A journal that nobody writes."""
    Journal.create(tmp_path / "journal.jsonl", entry()).close()
    return tmp_path / "journal.jsonl"


@pytest.fixture
def other(path: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that writes it."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLDING, path], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "held\n"
        yield process
        process.kill()


def test_a_second_terminal_learns_who_writes(path: Path, other: subprocess.Popen[str]) -> None:
    """The refusal names process, machine and time."""
    with pytest.raises(Held, match="in use by process") as refused:
        Journal.open(path, moment(5))
    assert refused.value.by == Holder(other.pid, socket.gethostname(), "2026-01-01T10:00:00.000Z")
    assert holder(path) == refused.value.by


def test_a_lock_dies_with_its_process(path: Path, other: subprocess.Popen[str]) -> None:
    """After a crash, as after a power cut, nobody has to remove anything before going on."""
    other.send_signal(signal.SIGKILL)
    other.wait()
    with Journal.open(path, moment(5)) as journal:
        journal.append_many([entry(6)])
        now = holder(path)
        assert now is not None
        assert now.pid == os.getpid()


def test_waiting_outlasts_a_short_writer(path: Path, other: subprocess.Popen[str]) -> None:
    """Whoever may wait gets the journal as soon as the other closes it."""
    assert other.stdin is not None
    other.stdin.close()
    began = time.monotonic()
    with Journal.open(path, moment(5), wait_s=30):
        assert time.monotonic() - began < 30


def test_the_same_process_cannot_open_it_twice(path: Path) -> None:
    """Two writers in one process would tear each other as two processes do."""
    with Journal.open(path, moment(5)), pytest.raises(Held):
        Journal.open(path, moment(6))
    Journal.open(path, moment(7)).close()


def test_a_failed_opening_frees_the_lock(path: Path) -> None:
    """A journal that cannot be opened is not held either."""
    content = path.read_bytes()
    path.write_bytes(b"")
    for _ in range(2):
        with pytest.raises(Exception, match="no whole line"):
            Journal.open(path, moment(5))
    path.write_bytes(content)
    Journal.open(path, moment(6)).close()


def test_nothing_is_left_to_read_once_it_is_free(path: Path) -> None:
    """A journal that nobody writes names nobody."""
    Journal.open(path, moment(5)).close()
    assert holder(path) is None


@pytest.mark.parametrize("note", [b"", b"{}", b"[]", b"\xff", b'{"pid": "x"}', b"1", b"9" * 5000])
def test_an_unreadable_note_names_nobody(path: Path, note: bytes) -> None:
    """The lock counts, not the note: without one the refusal still comes, and says another process."""
    with Journal.open(path, moment(5)):
        path.with_suffix(".holder").write_bytes(note)
        with pytest.raises(Held, match="another process") as refused:
            Journal.open(path, moment(6))
    assert refused.value.by is None


def test_a_full_disk_does_not_keep_anybody_from_a_batch(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the note cannot be written the journal is held all the same, and no old name stands."""
    stale = json.dumps({"pid": 1, "host": "elsewhere", "since": "2025-01-01T00:00:00.000Z"})
    path.with_suffix(".holder").write_text(stale)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(durable, "write_over", full)
    lock = WriterLock(path, moment())
    lock.take()
    assert lock.held
    assert holder(path) is None
    lock.free()
    lock.free()
    assert not lock.held
