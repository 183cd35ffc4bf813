"""Whatever the disk does: what was acknowledged stays; what was not, nobody was told."""

from __future__ import annotations

import base64
import errno
import hashlib
from typing import TYPE_CHECKING
from unittest.mock import Mock

import pytest

from runner.record.journal import Journal
from runner.record.journal_errors import JournalTampered, NotWritten
from runner.record.lines import dump
from runner.record.torn import KEPT_BYTES
from support.journals import FaultyDisk, entry, moment, on_disk, set_aside

if TYPE_CHECKING:
    from pathlib import Path


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
        line = journal.lines[-1]._replace(seq=5, prev=journal.last_hash)
        with path.open("ab") as file:
            file.write(dump(line))
        with pytest.raises(JournalTampered, match=r":4: it says that it is line 5"):
            Journal.open(path, moment(9))
