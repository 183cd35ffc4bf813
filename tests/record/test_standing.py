"""Open batches as another terminal sees them: never written to, never a trace."""

from __future__ import annotations

import json
import os
import socket
from pathlib import Path

import pytest

from runner.batch import intents as do
from runner.record.hold import Hold
from runner.record.standing import Watcher
from support.batches import OWNER, START, later, opening
from support.journals import signer

BATCH = "2026-0001"


@pytest.fixture
def hold(tmp_path: Path) -> Hold:
    """A batch in hand, below a folder of logs."""
    (tmp_path / BATCH).mkdir()
    return Hold.create(tmp_path / BATCH, opening(), START, signer())


def act(hold: Hold, seconds: float = 5) -> None:
    """The rack goes into the first tank."""
    hold.do(do.Enter(), do.Stamp(later(START, seconds), OWNER, unlocked=True), signer())


def held_by(folder: Path, pid: int, host: str) -> None:
    """The note of a process that took the batch."""
    note = {"pid": pid, "host": host, "since": "2026-01-01T10:00:00.000Z"}
    (folder / BATCH / "journal.holder").write_text(json.dumps(note), encoding="ascii")


def test_it_is_seen_as_it_stands_and_as_it_changes(hold: Hold, tmp_path: Path) -> None:
    """Each look shows what is on the disk by then."""
    watcher = Watcher(tmp_path)
    assert watcher.look(BATCH).state == hold.state
    act(hold)
    assert watcher.look(BATCH).state == hold.state


def test_looking_writes_nothing(hold: Hold, tmp_path: Path) -> None:
    """Not even a lock."""
    hold.close()
    before = {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*")}
    Watcher(tmp_path).look(BATCH)
    assert {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*")} == before


def test_an_unchanged_journal_is_folded_once(
    hold: Hold, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The board looks twice a second; a batch of many hundred lines must not be read each time."""
    watcher = Watcher(tmp_path)
    first = watcher.look(BATCH)

    def never(_: bytes) -> None:
        raise AssertionError("it was folded again")

    monkeypatch.setattr("runner.record.standing.fold", never)
    assert watcher.look(BATCH).state is first.state
    assert hold.state == first.state


def test_a_batch_that_is_open_no_more_is_forgotten(
    hold: Hold, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A terminal runs for weeks: what ended takes no memory, and is read anew where it is looked at again."""
    watcher = Watcher(tmp_path)
    first = watcher.look(BATCH)
    read: list[Path] = []

    def counted(folder: Path) -> bytes:
        read.append(folder)
        return (folder / "journal.jsonl").read_bytes()

    monkeypatch.setattr("runner.record.standing.read_journal", counted)
    watcher.keep_only((BATCH,))
    assert watcher.look(BATCH).state is first.state
    assert read == []
    watcher.keep_only(())
    assert watcher.look(BATCH).state == hold.state
    assert read == [tmp_path / BATCH]


def test_a_line_that_is_being_written_is_not_there_yet(hold: Hold, tmp_path: Path) -> None:
    """Half a line at the end is another terminal's write under way, no fault."""
    hold.close()
    with (tmp_path / BATCH / "journal.jsonl").open("ab") as journal:
        journal.write(b'{"seq":2,"at":')
    standing = Watcher(tmp_path).look(BATCH)
    assert (standing.state, standing.problem) == (hold.state, None)


def test_a_journal_that_was_changed_is_told(hold: Hold, tmp_path: Path) -> None:
    """In words, with the line."""
    act(hold)
    hold.close()
    journal = tmp_path / BATCH / "journal.jsonl"
    journal.write_bytes(journal.read_bytes().replace(b"stirrup", b"stirrop"))
    standing = Watcher(tmp_path).look(BATCH)
    assert standing.state is None
    assert standing.problem is not None
    assert standing.problem.startswith("its journal does not prove: line 2")


def test_a_journal_that_is_away_is_told_and_comes_back(hold: Hold, tmp_path: Path) -> None:
    """A drive pulled out and put back."""
    watcher = Watcher(tmp_path)
    folder = tmp_path / BATCH
    folder.rename(tmp_path / "away")
    assert watcher.look(BATCH).problem == "its journal is away: No such file or directory"
    (tmp_path / "away").rename(folder)
    assert watcher.look(BATCH).state == hold.state


def test_a_link_in_the_journals_place_is_not_followed(hold: Hold, tmp_path: Path) -> None:
    """A journal that is a symbolic link is none of ours."""
    hold.close()
    journal = tmp_path / BATCH / "journal.jsonl"
    journal.rename(tmp_path / "elsewhere")
    journal.symlink_to(tmp_path / "elsewhere")
    standing = Watcher(tmp_path).look(BATCH)
    assert standing.state is None
    assert standing.problem is not None
    assert standing.problem.startswith("its journal cannot be read: ")


def test_who_has_it_in_hand_is_told(hold: Hold, tmp_path: Path) -> None:
    """A living process of this machine, or any of another; not one that is gone, and not this one."""
    watcher = Watcher(tmp_path)
    assert watcher.look(BATCH).held_by is None
    hold.close()
    here = socket.gethostname()
    parent = os.getppid()
    for pid, host, told in ((parent, here, True), (2**22 + 1, here, False), (2**22 + 1, "elsewhere", True)):
        held_by(tmp_path, pid, host)
        assert (watcher.look(BATCH).held_by is not None) == told, (pid, host)
