"""The index is a cache: deleted, damaged, another's or out of date, it is made again, and no list changes."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from runner.record import index
from runner.record.index import FILE, Found, search
from runner.record.index_query import Wanted
from runner.record.index_schema import VERSION
from runner.record.verify import verify

ALL = Wanted(deviation=None)


def execute(path: Path, *statements: str) -> None:
    """Change an index behind the program's back."""
    with closing(sqlite3.connect(path)) as db:
        for statement in statements:
            db.execute(statement)
        db.commit()


def read_again(logs: Path) -> list[int]:
    """How many journals the next question reads, told by its own progress."""
    told: list[int] = []
    search(logs, ALL, lambda _, of: told.append(of))
    return told[:1]


@pytest.fixture
def sound(shop: Path) -> Found:
    """The answer from a new index."""
    return search(shop / "logs", ALL)


def _cut(path: Path) -> None:
    os.truncate(path, path.stat().st_size // 2)


def _overwritten(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:100] + b"\xff" * 60_000)


def _empty(path: Path) -> None:
    path.write_bytes(b"")


def _text(path: Path) -> None:
    path.write_text("no index at all\n" * 100, encoding="utf-8")


def _of_another_version(path: Path) -> None:
    execute(path, f"PRAGMA user_version = {VERSION + 1}")


def _of_another_program(path: Path) -> None:
    path.unlink()
    execute(path, "CREATE TABLE batches (batch TEXT)", "INSERT INTO batches VALUES ('x')")


def _with_a_trigger(path: Path) -> None:
    execute(path, "CREATE TRIGGER t AFTER INSERT ON batches BEGIN DELETE FROM batches; END")


def _with_a_view(path: Path) -> None:
    execute(path, "ALTER TABLE batches RENAME TO kept", "CREATE VIEW batches AS SELECT * FROM kept")


def _with_bytes_for_text(path: Path) -> None:
    rewrite = "UPDATE sqlite_master SET sql = replace(sql, '{}', '{}') WHERE name = 'batches'"
    execute(path, "PRAGMA writable_schema = ON", rewrite.format(") STRICT, WITH", ") WITH"))
    execute(path, "UPDATE batches SET listed = x'ff00'")
    execute(path, "PRAGMA writable_schema = ON", rewrite.format(") WITH", ") STRICT, WITH"))


def _with_no_list_in_a_row(path: Path) -> None:
    execute(path, "UPDATE batches SET listed = '],['")


def _with_a_number_for_text(path: Path) -> None:
    execute(path, "UPDATE batches SET listed = json_set(listed, '$[1]', 7)")


def _a_link(path: Path) -> None:
    elsewhere = path.parent.parent / "elsewhere.sqlite"
    path.rename(elsewhere)
    path.symlink_to(elsewhere)


def _gone(path: Path) -> None:
    path.unlink()


@pytest.mark.parametrize(
    "spoil",
    [
        _gone,
        _cut,
        _overwritten,
        _empty,
        _text,
        _of_another_version,
        _of_another_program,
        _with_a_trigger,
        _with_a_view,
        _with_bytes_for_text,
        _with_no_list_in_a_row,
        _with_a_number_for_text,
        _a_link,
    ],
)
def test_a_spoilt_index_is_made_anew(shop: Path, sound: Found, spoil: Callable[[Path], None]) -> None:
    """The answer is the same as before, all journals are read again, and the file is sound afterwards."""
    path = shop / "logs" / FILE
    spoil(path)
    assert read_again(shop / "logs") == [60]
    assert search(shop / "logs", ALL) == sound
    assert read_again(shop / "logs") == []
    assert path.is_file()
    assert not path.is_symlink()


def test_through_a_link_nothing_is_written(shop: Path, sound: Found) -> None:
    """A link in the index's place must not have another file overwritten."""
    path, other = shop / "logs" / FILE, shop / "other.sqlite"
    path.unlink()
    other.write_bytes(b"")
    path.symlink_to(other)
    assert search(shop / "logs", ALL) == sound
    assert other.read_bytes() == b""


def test_a_folder_in_its_place_only_costs_time(shop: Path, sound: Found) -> None:
    """The index then lives in memory."""
    path = shop / "logs" / FILE
    path.unlink()
    path.mkdir()
    assert search(shop / "logs", ALL) == sound


def test_records_that_cannot_be_written_beside_are_read(
    shop: Path, sound: Found, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where SQLite says that it cannot open or write the file, the answer comes from memory."""
    real = sqlite3.connect

    def refusing(place: str, **options: object) -> sqlite3.Connection:
        if place != ":memory:":
            raise sqlite3.OperationalError("unable to open database file")
        return real(place, **options)  # type: ignore[call-overload,no-any-return]  # passed on as given

    monkeypatch.setattr(sqlite3, "connect", refusing)
    assert search(shop / "logs", ALL) == sound


def test_a_locked_index_is_not_taken_away(shop: Path, sound: Found, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another terminal writes it: the answer comes from memory, and the file stays."""
    monkeypatch.setattr(index, "_WAIT_S", 0.01)
    path = shop / "logs" / FILE
    with closing(sqlite3.connect(path)) as other:
        other.execute("BEGIN EXCLUSIVE")
        before = path.stat().st_ino
        assert search(shop / "logs", ALL) == sound
        assert path.stat().st_ino == before


def test_only_what_changed_is_read_again(shop: Path, sound: Found) -> None:
    """A journal that grew, one that was touched, one that went."""
    del sound
    logs = shop / "logs"
    assert read_again(logs) == []
    journal = logs / "2026-0003" / "journal.jsonl"
    journal.write_bytes(journal.read_bytes() + b"torn")
    os.utime(logs / "2026-0004" / "journal.jsonl", ns=(1, 1))
    assert read_again(logs) == [2]
    for file in (logs / "2026-0005").iterdir():
        file.unlink()
    (logs / "2026-0005").rmdir()
    assert "2026-0005" not in {one.batch for one in search(logs, ALL).batches}


def test_a_batch_that_is_sealed_later_is_seen(shop: Path, sound: Found) -> None:
    """Its journal stays as it is; record and signature come."""
    logs = shop / "logs"
    name = next(one.batch for one in sound.batches if one.status == "sealed")
    record = (logs / name / "record.toml").rename(shop / "kept")
    (there,) = [one for one in search(logs, ALL).batches if one.batch == name]
    assert (there.status, there.record_sha256) == ("not sealed", "")
    record.rename(logs / name / "record.toml")
    assert search(logs, ALL) == sound


def test_what_is_no_batch_is_not_in_it(shop: Path, sound: Found) -> None:
    """Practice, links, files, strange names, names that are no text."""
    logs = shop / "logs"
    source = logs / "2026-0001"
    (logs / "practice").mkdir(exist_ok=True)
    for name in (
        b"practice/practice-2026-0001",
        b"2026-1",
        b"20260001",
        b"2026-00\xff1",
        b".deleted-2026-0001",
    ):
        os.mkdir(os.path.join(os.fsencode(logs), name))  # noqa: PTH102, PTH118 - names that are no text
        target = os.path.join(os.fsencode(logs), name, b"journal.jsonl")  # noqa: PTH118 - as above
        os.link(source / "journal.jsonl", target)
    (logs / "2026-7777").symlink_to(source)
    (logs / "2026-8888").write_text("a file", encoding="utf-8")
    (logs / "2026-9999").mkdir()
    assert search(logs, ALL) == sound


def test_a_rehearsal_in_productions_place_is_named_as_no_batch(shop: Path) -> None:
    """Its fields are not shown as those of a batch."""
    journal = shop / "logs" / "2026-0001" / "journal.jsonl"
    journal.write_bytes(journal.read_bytes().split(b"\n")[0].replace(b'"production"', b'"practice"') + b"\n")
    (one,) = [one for one in search(shop / "logs", ALL).batches if one.batch == "2026-0001"]
    assert (one.status, one.part) == ("unread", "")
    assert "rehearsal" in one.outcome


def test_a_batch_with_a_broken_journal_stays_in_the_list(shop: Path, sound: Found) -> None:
    """It must not fall out because it is damaged."""
    (shop / "logs" / "2026-0002" / "journal.jsonl").unlink()
    after = search(shop / "logs", ALL).batches
    assert len(after) in {len(sound.batches), len(sound.batches) - 1}  # an open one held nothing else
    journal = shop / "logs" / "2026-0001" / "journal.jsonl"
    journal.write_bytes(journal.read_bytes().replace(b'"seq":2,', b'"seq":3,'))
    (one,) = [one for one in search(shop / "logs", ALL).batches if one.batch == "2026-0001"]
    assert one.status == "unread"
    assert "line 2" in one.outcome


def test_a_forged_index_proves_nothing(shop: Path, sound: Found) -> None:
    """Verification does not look at it."""
    del sound
    path = shop / "logs" / FILE
    execute(path, "UPDATE batches SET status = 'sealed'")
    execute(path, "UPDATE batches SET listed = json_set(listed, '$[1]', 'forged', '$[11]', 'sealed')")
    verdict = verify(shop)
    assert verdict.ok
    assert any(proof.status == "open" for proof in verdict.batches)
