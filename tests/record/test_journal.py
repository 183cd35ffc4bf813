"""What was acknowledged stays, whatever the disk does; what was not, nobody was told."""

from __future__ import annotations

import base64
import errno
import hashlib
import os
import shutil
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import TYPE_CHECKING
from unittest.mock import Mock

import pytest

from runner.record import durable
from runner.record.journal import Journal
from runner.record.journal_errors import JournalExists, JournalMissing, JournalTampered, NotWritten
from runner.record.lines import GENESIS, Line, LineFault, dump, line_hash
from runner.record.lock import WriterLock
from runner.record.torn import KEPT_BYTES, split
from support.journals import FaultyDisk, entry, moment, signer

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a batch's journal lies."""
    (tmp_path / "2026-0001").mkdir()
    return tmp_path / "2026-0001" / "journal.jsonl"


@pytest.fixture
def disk() -> FaultyDisk:
    """A disk that fails on order."""
    return FaultyDisk()


@pytest.fixture
def journal(path: Path, disk: FaultyDisk) -> Journal:
    """A journal of three lines on that disk."""
    made = Journal.create(path, entry(0, "batch-opened"), disk=disk)
    made.append_many([entry(1), entry(2, signed=False)])
    return made


def on_disk(path: Path) -> list[Line]:
    """Every line of a journal without a torn tail."""
    content = path.read_bytes()
    lines, length = split(content)
    assert length == len(content)
    return lines


def set_aside(line: Line) -> bytes:
    """The bytes that an event keeps, its own account of them proved."""
    assert line.kind == "tail-set-aside"
    kept = base64.b64decode(line.data["base64"])
    assert line.data["bytes"] == len(kept)
    assert line.data["sha256"] == hashlib.sha256(kept).hexdigest()
    assert set(line.data) == {"bytes", "sha256", "base64"}
    return kept


def test_lines_are_numbered_and_chained(path: Path, journal: Journal) -> None:
    """Each line counts on from 1 and names the hash of the one before it; the file is those lines."""
    lines = on_disk(path)
    assert lines == journal.lines
    assert [line.seq for line in lines] == [1, 2, 3]
    assert [line.prev for line in lines] == [GENESIS, *(line_hash(dump(line)) for line in lines[:-1])]
    assert journal.last_hash == line_hash(dump(lines[-1]))
    assert [line.sig is not None for line in lines] == [True, True, False]


def test_several_lines_are_one_write_and_one_flush(journal: Journal, disk: FaultyDisk) -> None:
    """However many lines go together, the disk is asked once each."""
    before = disk.writes, disk.flushes
    added = journal.append_many([entry(3), entry(4), entry(5)])
    assert [line.seq for line in added] == [4, 5, 6]
    assert (disk.writes - before[0], disk.flushes - before[1]) == (1, 1)


def test_no_lines_ask_nothing_of_the_disk(journal: Journal, disk: FaultyDisk) -> None:
    """An empty write is none."""
    before = disk.writes, disk.flushes
    assert journal.append_many([]) == ()
    assert (disk.writes, disk.flushes) == before


def test_a_look_beforehand_shows_what_will_be_written(journal: Journal) -> None:
    """Composing shows the very lines, signatures included, and writes none of them."""
    wanted = [entry(3), entry(4)]
    seen = journal.compose(wanted)
    assert len(journal.lines) == 3
    assert journal.append_many(wanted) == seen


def test_lines_come_back_as_a_reader_will_read_them(journal: Journal) -> None:
    """What is handed back has been through the bytes: a tuple is a list there."""
    (line,) = journal.append("noted", {"readings": (1, 2)}, "op-1", moment(3), signer())
    assert line.data == {"readings": [1, 2]}
    assert line == journal.lines[-1]


def test_what_no_line_may_hold_is_not_written(path: Path, journal: Journal) -> None:
    """A figure that is no number is refused, and the journal goes on as if nothing had been asked."""
    before = path.read_bytes()
    with pytest.raises(LineFault):
        journal.append_many([entry(3), entry(4, area_dm2=float("nan"))])
    assert path.read_bytes() == before
    assert journal.append_many([entry(5)])[0].seq == 4


def test_it_goes_on_after_a_restart(path: Path, journal: Journal) -> None:
    """Closing and opening changes nothing: the next line follows from the last."""
    journal.close()
    with Journal.open(path, moment(9)) as again:
        assert again.lines == journal.lines
        assert again.torn is None
        again.append_many([entry(10)])
    assert len(on_disk(path)) == 4


def test_a_closed_journal_takes_nothing(journal: Journal) -> None:
    """Writing after closing is a mistake of the program, and says so; closing twice is none."""
    journal.close()
    journal.close()
    with pytest.raises(ValueError, match="closed"):
        journal.append_many([entry(3)])


def test_threads_do_not_tear_each_other(path: Path, journal: Journal) -> None:
    """Lines asked for from several threads at once all stand, in one chain."""
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda second: journal.append_many([entry(second)]), range(40)))
    assert len(on_disk(path)) == 43


class TestMaking:
    """A journal is there with its whole first line, or not there."""

    def test_no_journal_takes_the_place_of_another(self, path: Path, journal: Journal) -> None:
        """A batch's number is not used twice."""
        journal.close()
        before = path.read_bytes()
        with pytest.raises(JournalExists, match="another number"):
            Journal.create(path, entry(9))
        assert path.read_bytes() == before

    def test_a_full_disk_leaves_none(self, path: Path, disk: FaultyDisk) -> None:
        """Wherever the disk fills up there is no journal, and once there is room it can be made."""
        whole = len(dump(Journal.create(path, entry()).compose([entry()])[0]))
        shutil.rmtree(path.parent)
        path.parent.mkdir()
        for room in range(0, whole, 7):
            disk.room = room
            with pytest.raises(NotWritten, match="make room"):
                Journal.create(path, entry(), disk=disk)
            assert not path.exists()
        disk.heal()
        with Journal.create(path, entry(), disk=disk) as made:
            assert len(made.lines) == 1

    def test_none_is_opened_where_none_is(self, path: Path) -> None:
        """A journal that is not there is said to be missing, and none is made in its place."""
        with pytest.raises(JournalMissing, match="moved"):
            Journal.open(path, moment())
        assert not path.exists()

    @pytest.mark.parametrize("content", [b"", b"{", b"\n", b"{}\n", b"\0" * 100])
    def test_a_file_without_a_first_line_is_no_torn_journal(self, path: Path, content: bytes) -> None:
        """The first line comes whole or not at all, so a file without one was changed by others."""
        path.write_bytes(content)
        with pytest.raises(JournalTampered):
            Journal.open(path, moment())
        assert path.read_bytes() == content


class TestFailedWrites:
    """A write that failed leaves nothing that counts, and the next one goes on."""

    def check_that_it_goes_on(self, path: Path, journal: Journal, torn: bytes) -> None:
        """After healing: the torn bytes are kept, the new line stands, and a reader agrees."""
        added = journal.append_many([entry(8)])
        if torn:
            assert set_aside(added[0]) == torn
        assert [line.kind for line in added] == ["tail-set-aside", "noted"][not torn :]
        assert on_disk(path) == journal.lines
        assert all(line.sig for line in added)
        assert journal.torn is None

    def test_a_disk_that_fills_up_anywhere(self, path: Path, journal: Journal, disk: FaultyDisk) -> None:
        """At every byte of two lines: nothing counts, what stood is cut off, and then kept aside."""
        wanted = [entry(3), entry(4, signed=False)]
        before, raw = path.read_bytes(), b"".join(map(dump, journal.compose(wanted)))
        journal.close()
        for room in range(len(raw)):
            path.write_bytes(before)
            disk.room = room
            with Journal.open(path, moment(3), disk=disk) as again:
                with pytest.raises(NotWritten, match="make room"):
                    again.append_many(wanted)
                assert path.read_bytes() == before
                disk.heal()
                self.check_that_it_goes_on(path, again, raw[:room])

    def test_a_flush_that_fails(self, path: Path, journal: Journal, disk: FaultyDisk) -> None:
        """Whole lines of which the disk does not say that it has them do not count."""
        before, raw = path.read_bytes(), b"".join(map(dump, journal.compose([entry(3)])))
        disk.failing["fsync"] = errno.EIO
        with pytest.raises(NotWritten, match="look after the disk"):
            journal.append_many([entry(3)])
        assert path.read_bytes() == before
        disk.heal()
        self.check_that_it_goes_on(path, journal, raw)

    def test_a_disk_that_does_not_let_itself_be_cut(
        self, path: Path, journal: Journal, disk: FaultyDisk
    ) -> None:
        """What cannot be cut off at once is cut off before the next line."""
        before, raw = path.read_bytes(), b"".join(map(dump, journal.compose([entry(3)])))
        disk.room = 50
        disk.failing["truncate"] = errno.EIO
        with pytest.raises(NotWritten):
            journal.append_many([entry(3)])
        assert path.read_bytes() == before + raw[:50]
        with pytest.raises(NotWritten):
            journal.append_many([entry(4)])
        disk.heal()
        self.check_that_it_goes_on(path, journal, raw[:50])

    def test_a_program_stopped_amid_a_write(self, path: Path, journal: Journal, disk: FaultyDisk) -> None:
        """A write broken off by anything else than the disk is found and set aside too."""
        raw = b"".join(map(dump, journal.compose([entry(3)])))

        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(disk, "fsync", Mock(side_effect=KeyboardInterrupt))
            with pytest.raises(KeyboardInterrupt):
                journal.append_many([entry(3)])
        self.check_that_it_goes_on(path, journal, raw)

    @pytest.mark.parametrize("number", [errno.EIO, errno.EROFS, errno.EACCES, errno.EDQUOT])
    @pytest.mark.parametrize("call", ["write", "stat"])
    def test_any_call_that_fails(
        self, path: Path, journal: Journal, disk: FaultyDisk, call: str, number: int
    ) -> None:
        """A disk that was taken away, made read-only or refuses says so, with what to do."""
        disk.failing[call] = number
        with pytest.raises(NotWritten, match=r"nothing was written: .+; .+"):
            journal.append_many([entry(3)])
        disk.heal()
        self.check_that_it_goes_on(path, journal, b"")

    def test_failing_over_and_over(self, path: Path, journal: Journal, disk: FaultyDisk) -> None:
        """A long failure does not pile up: what is kept is bounded, and its length and hash are of all."""
        torn = b""
        for second in range(30):
            torn += b"".join(map(dump, journal.compose([entry(second)])))
            disk.failing["fsync"] = errno.EIO
            with pytest.raises(NotWritten):
                journal.append_many([entry(second)])
        disk.heal()
        kept, _ = journal.append_many([entry(60)])
        assert kept.data["bytes"] == len(torn) > KEPT_BYTES
        assert kept.data["sha256"] == hashlib.sha256(torn).hexdigest()
        assert base64.b64decode(kept.data["base64"]) == torn[:KEPT_BYTES]
        assert on_disk(path) == journal.lines


class TestTornTails:
    """What a power cut leaves is cut back to the last whole line, and kept."""

    def test_a_journal_cut_anywhere(self, path: Path, journal: Journal) -> None:
        """At every byte: the whole lines stand, the rest is set aside, and the journal goes on."""
        journal.close()
        content = path.read_bytes()
        ends = [at + 1 for at, byte in enumerate(content) if byte == ord("\n")]
        for cut in range(ends[0], len(content)):
            path.write_bytes(content[:cut])
            whole = max(end for end in ends if end <= cut)
            with Journal.open(path, moment(9), disk=FaultyDisk()) as again:
                assert again.lines == journal.lines[: ends.index(whole) + 1]
                assert path.read_bytes() == content[:whole]
                added = again.append_many([entry(9)])
            assert [line.kind for line in added] == ["tail-set-aside", "noted"][cut == whole :]
            if cut > whole:
                assert set_aside(added[0]) == content[whole:cut]
            assert on_disk(path) == again.lines

    @pytest.mark.parametrize("tail", [b"\0" * 5000, b"\xff\n", b"{}\n", b"\n", b'{"seq":4}\n', b"half a li"])
    def test_a_last_line_that_is_none(self, path: Path, journal: Journal, tail: bytes) -> None:
        """Zeros, as some disks leave them, and a last line that does not parse are a torn tail."""
        journal.close()
        with path.open("ab") as file:
            file.write(tail)
        with Journal.open(path, moment(9)) as again:
            assert again.lines == journal.lines
            assert again.torn is not None
            assert again.torn.reason == "found at opening"
            assert set_aside(again.append_many([entry(9)])[0]) == tail

    def test_an_unkept_tail_is_kept_by_the_next_who_opens(self, path: Path, journal: Journal) -> None:
        """A tail set aside without a key unlocked is kept all the same, unsigned."""
        journal.close()
        with path.open("ab") as file:
            file.write(b"half")
        with Journal.open(path, moment(9)) as again:
            kept, noted = again.append("noted", {}, "", moment(9))
        assert set_aside(kept) == b"half"
        assert (kept.sig, noted.sig) == (None, None)

    def test_a_tail_that_cannot_be_cut_stops_the_opening(self, path: Path, journal: Journal) -> None:
        """Nothing is added behind a torn tail."""
        journal.close()
        with path.open("ab") as file:
            file.write(b"half")
        disk = FaultyDisk()
        disk.failing["truncate"] = errno.EROFS
        with pytest.raises(NotWritten, match="right to write"):
            Journal.open(path, moment(9), disk=disk)
        assert path.read_bytes().endswith(b"\nhalf")
        Journal.open(path, moment(9)).close()

    @pytest.mark.parametrize("seq", [1, 2])
    def test_an_earlier_line_that_is_none_is_no_torn_tail(
        self, path: Path, journal: Journal, seq: int
    ) -> None:
        """A changed line amid the journal is named, and nothing is cut."""
        journal.close()
        raws = path.read_bytes().splitlines(keepends=True)
        raws[seq - 1] = raws[seq - 1].replace(b'"who"', b'"hwo"')
        path.write_bytes(b"".join(raws))
        with pytest.raises(JournalTampered, match=f":{seq}: .*call the owner"):
            Journal.open(path, moment(9))
        assert path.read_bytes() == b"".join(raws)

    @pytest.mark.parametrize("order", [(0, 2), (0, 2, 1), (1, 2), (0, 1, 1, 2)])
    def test_a_line_taken_out_moved_or_doubled_is_found(
        self, path: Path, journal: Journal, order: tuple[int, ...]
    ) -> None:
        """Lines that do not follow from each other are never written on."""
        journal.close()
        raws = path.read_bytes().splitlines(keepends=True)
        path.write_bytes(b"".join(raws[index] for index in order))
        with pytest.raises(JournalTampered, match="it "):
            Journal.open(path, moment(9))

    def test_a_number_that_does_not_count_on_is_found(self, path: Path, journal: Journal) -> None:
        """A line put at the end by somebody with a key, but under another number, is named."""
        journal.close()
        line = replace(journal.lines[-1], seq=5, prev=journal.last_hash)
        with path.open("ab") as file:
            file.write(dump(line))
        with pytest.raises(JournalTampered, match=r":4: it says that it is line 5"):
            Journal.open(path, moment(9))


class TestTampering:
    """A file that others changed is not written on, until it is as it was."""

    @pytest.mark.parametrize(
        "change",
        {
            "a byte of the last line": lambda raw: raw[:-20] + b"x" + raw[-19:],
            "a line more": lambda raw: raw + raw.splitlines(keepends=True)[-1],
            "half a line more": lambda raw: raw + b"{",
            "the last line taken off": lambda raw: b"".join(raw.splitlines(keepends=True)[:-1]),
            "a byte taken off": lambda raw: raw[:-1],
            "nothing left": lambda _: b"",
        }.values(),
    )
    def test_a_changed_file_is_refused(self, path: Path, journal: Journal, change: object) -> None:
        """Whatever was changed in the file in place, nothing is added and nothing is cut."""
        assert callable(change)
        before = path.read_bytes()
        path.write_bytes(change(before))
        with pytest.raises(JournalTampered, match="call the owner"):
            journal.append_many([entry(3)])
        assert path.read_bytes() == change(before)
        path.write_bytes(before)
        assert journal.append_many([entry(4)])[0].seq == 4

    def test_an_early_byte_is_found_once_something_failed(
        self, path: Path, journal: Journal, disk: FaultyDisk
    ) -> None:
        """After a failure all of the file is compared, not only its end."""
        disk.failing["write"] = errno.EIO
        with pytest.raises(NotWritten):
            journal.append_many([entry(3)])
        disk.heal()
        before = path.read_bytes()
        path.write_bytes(before.replace(b"boot-1", b"boot-2", 1))
        with pytest.raises(JournalTampered):
            journal.append_many([entry(4)])

    def test_another_file_in_its_place_is_refused(self, path: Path, journal: Journal) -> None:
        """A file of other content, of the same length too, is not written on."""
        other = path.with_name("other")
        other.write_bytes(path.read_bytes().replace(b"boot-1", b"boot-2"))
        other.replace(path)
        with pytest.raises(JournalTampered, match="replaced"):
            journal.append_many([entry(3)])

    def test_a_copy_in_its_place_is_taken(self, path: Path, journal: Journal) -> None:
        """A file of the same bytes is written on: a disk taken off and put back may look like that."""
        shutil.copy(path, path.with_name("copy"))
        path.with_name("copy").replace(path)
        assert journal.append_many([entry(3)])[0].seq == 4
        assert on_disk(path) == journal.lines

    def test_a_folder_that_went_and_came_back(self, path: Path, journal: Journal) -> None:
        """While it is away nothing is written, and nothing is made in its place; then it goes on."""
        away = path.parent.with_name("away")
        path.parent.rename(away)
        with pytest.raises(NotWritten, match="put the folder or disk back"):
            journal.append_many([entry(3)])
        assert not path.parent.exists()
        away.rename(path.parent)
        assert journal.append_many([entry(4)])[0].seq == 4

    def test_a_folder_that_came_back_as_a_copy(self, path: Path, journal: Journal) -> None:
        """A copy of the whole folder is taken, with a lock of its own that others see."""
        shutil.copytree(path.parent, path.parent.with_name("copy"))
        shutil.rmtree(path.parent)
        path.parent.with_name("copy").rename(path.parent)
        journal.append_many([entry(3)])
        with pytest.raises(Exception, match="in use by process"):
            Journal.open(path, moment(9))

    def test_a_folder_that_came_back_locked_away_waits_for_its_lock(
        self, path: Path, journal: Journal, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """Without the lock in hand nothing is written, however often it is tried."""
        shutil.copytree(path.parent, path.parent.with_name("copy"))
        shutil.rmtree(path.parent)
        path.parent.with_name("copy").rename(path.parent)
        before = path.read_bytes()
        with monkeypatch.context() as patch:
            patch.setattr(WriterLock, "take", Mock(side_effect=PermissionError(errno.EACCES, "Denied")))
            for _ in range(2):
                with pytest.raises(NotWritten, match="give this user the right"):
                    journal.append_many([entry(3)])
        assert path.read_bytes() == before
        assert journal.append_many([entry(3)])[0].seq == 4

    def test_a_removed_file_is_not_made_anew(self, path: Path, journal: Journal) -> None:
        """A journal that was deleted is not begun again behind everybody's back."""
        path.unlink()
        with pytest.raises(NotWritten, match="put the folder or disk back"):
            journal.append_many([entry(3)])
        assert not path.exists()

    def test_a_symbolic_link_is_refused(self, path: Path, journal: Journal) -> None:
        """Neither opened nor written on, even where it leads to the very file."""
        path.rename(path.with_name("elsewhere"))
        path.symlink_to("elsewhere")
        with pytest.raises(JournalTampered, match="symbolic link"):
            journal.append_many([entry(3)])
        journal.close()
        with pytest.raises(JournalTampered, match="symbolic link"):
            Journal.open(path, moment(9))

    def test_a_pipe_is_no_journal(self, path: Path) -> None:
        """Opening something else than a plain file fails at once and does not hang."""
        os.mkfifo(path)
        with pytest.raises(NotWritten, match="plain file"):
            Journal.open(path, moment())


def test_a_read_only_folder_says_what_to_do(path: Path, journal: Journal) -> None:
    """A folder that may not be written is named at opening, with the remedy."""

    class ReadOnly(durable.Disk):
        """Refuses to open for writing, as a read-only mount does."""

        def open(self, path: Path, flags: int, mode: int = 0o644) -> int:
            """Only reading."""
            if flags & os.O_RDWR:
                raise OSError(errno.EROFS, os.strerror(errno.EROFS))
            return super().open(path, flags, mode)

    journal.close()
    with pytest.raises(NotWritten, match="give this user the right"):
        Journal.open(path, moment(), disk=ReadOnly())
