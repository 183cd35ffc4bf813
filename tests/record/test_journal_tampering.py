"""A journal that is not what its writer left is not written on."""

from __future__ import annotations

import errno
import os
import shutil
from typing import TYPE_CHECKING
from unittest.mock import Mock

import pytest

from runner.record import durable
from runner.record.journal import Journal
from runner.record.journal_errors import JournalTampered, NotWritten
from runner.record.lock import WriterLock
from support.journals import FaultyDisk, entry, moment, on_disk

if TYPE_CHECKING:
    from pathlib import Path


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
