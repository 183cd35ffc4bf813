"""What was acknowledged stays in a journal, and nothing takes another's place."""

from __future__ import annotations

import shutil
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING

import pytest

from runner.record.journal import Journal
from runner.record.journal_errors import JournalExists, JournalMissing, JournalTampered, NotWritten
from runner.record.lines import GENESIS, LineFault, dump, line_hash
from support.journals import FaultyDisk, entry, moment, on_disk, signer

if TYPE_CHECKING:
    from pathlib import Path


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
