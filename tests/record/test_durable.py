"""Files come onto the disk whole, or not at all."""

from __future__ import annotations

import errno
import os
from typing import TYPE_CHECKING

import pytest

from runner.record import durable
from support.journals import FaultyDisk

if TYPE_CHECKING:
    from pathlib import Path

DATA = b"a whole record\n"


def names(folder: Path) -> list[str]:
    """What stands in a folder."""
    return sorted(path.name for path in folder.iterdir())


def test_a_new_file_is_there_whole_and_alone(tmp_path: Path) -> None:
    """Nothing but the file is left, and it can be read by others."""
    durable.write_new(tmp_path / "record", DATA)
    assert (tmp_path / "record").read_bytes() == DATA
    assert names(tmp_path) == ["record"]


def test_a_different_file_is_never_overwritten(tmp_path: Path) -> None:
    """A record that stands stays as it is."""
    (tmp_path / "record").write_bytes(b"another\n")
    with pytest.raises(FileExistsError):
        durable.write_new(tmp_path / "record", DATA)
    assert (tmp_path / "record").read_bytes() == b"another\n"
    assert names(tmp_path) == ["record"]


def test_the_same_file_may_be_written_again(tmp_path: Path) -> None:
    """A seal that a power cut broke off is done again without complaint, and flushed."""
    disk = FaultyDisk()
    durable.write_new(tmp_path / "record", DATA)
    durable.write_new(tmp_path / "record", DATA, disk)
    assert disk.flushes == 3  # the file beside, the one that stands, the folder
    assert names(tmp_path) == ["record"]


def test_a_link_is_not_written_through(tmp_path: Path) -> None:
    """A symbolic link where a record should come is refused, even one to the same bytes."""
    (tmp_path / "elsewhere").write_bytes(DATA)
    (tmp_path / "record").symlink_to("elsewhere")
    with pytest.raises(FileExistsError):
        durable.write_new(tmp_path / "record", DATA)
    assert (tmp_path / "record").is_symlink()


@pytest.mark.parametrize("overwrite", [False, True])
@pytest.mark.parametrize("room", range(len(DATA)))
def test_a_full_disk_leaves_what_stood(tmp_path: Path, room: int, *, overwrite: bool) -> None:
    """Wherever the disk fills up, nothing half-written is left and an older file stands."""
    disk = FaultyDisk()
    disk.room = room
    target = tmp_path / "record"
    if overwrite:
        target.write_bytes(b"older\n")
    with pytest.raises(OSError, match=r"bytes went|space"):
        (durable.write_over if overwrite else durable.write_new)(target, DATA, disk)
    assert names(tmp_path) == (["record"] if overwrite else [])
    if overwrite:
        assert target.read_bytes() == b"older\n"


@pytest.mark.parametrize("call", ["open", "write", "fsync", "link"])
def test_a_failing_call_leaves_no_file(tmp_path: Path, call: str) -> None:
    """Whichever call fails first, no file stands and nothing lies beside it."""
    disk = FaultyDisk()
    disk.failing[call] = errno.EIO
    with pytest.raises(OSError, match="Input/output"):
        durable.write_new(tmp_path / "record", DATA, disk)
    assert names(tmp_path) == []


@pytest.mark.parametrize("call", ["open", "write", "fsync", "replace"])
def test_a_failing_replacement_leaves_the_old_file(tmp_path: Path, call: str) -> None:
    """Whichever call fails, the old file stands and nothing lies beside it."""
    disk = FaultyDisk()
    (tmp_path / "list").write_bytes(b"older\n")
    disk.failing[call] = errno.EIO
    with pytest.raises(OSError, match="Input/output"):
        durable.write_over(tmp_path / "list", DATA, disk)
    assert (tmp_path / "list").read_bytes() == b"older\n"
    assert names(tmp_path) == ["list"]


@pytest.mark.parametrize("number", [errno.EPERM, errno.ENOTSUP])
def test_where_files_cannot_have_two_names_it_works_all_the_same(tmp_path: Path, number: int) -> None:
    """On a disk without hard links a file is made too, and still no other is overwritten."""
    disk = FaultyDisk()
    disk.failing["link"] = number
    durable.write_new(tmp_path / "record", DATA, disk)
    assert (tmp_path / "record").read_bytes() == DATA
    with pytest.raises(FileExistsError):
        durable.write_new(tmp_path / "record", b"another\n", disk)
    assert names(tmp_path) == ["record"]


def test_what_an_earlier_process_left_does_not_hinder(tmp_path: Path) -> None:
    """A half-written file of a process that had the same number is put aside."""
    (tmp_path / f".record.{os.getpid()}.tmp").write_bytes(b"half")
    durable.write_new(tmp_path / "record", DATA)
    assert names(tmp_path) == ["record"]


@pytest.mark.parametrize(("number", "raised"), [(errno.EINVAL, False), (errno.EIO, True)])
def test_a_folder_that_needs_no_flush_may_refuse_it(tmp_path: Path, number: int, *, raised: bool) -> None:
    """Some network disks refuse to flush folders with EINVAL; every other refusal counts."""
    disk = FaultyDisk()
    disk.failing["fsync"] = number
    if raised:
        with pytest.raises(OSError, match="Input/output"):
            durable.fsync_folder(tmp_path, disk)
    else:
        durable.fsync_folder(tmp_path, disk)
    assert disk.flushes == 1


def test_a_linked_folder_is_flushed(tmp_path: Path) -> None:
    """A shop may keep its logs elsewhere and link to them."""
    (tmp_path / "real").mkdir()
    (tmp_path / "logs").symlink_to("real")
    durable.write_new(tmp_path / "logs" / "record", DATA)
    assert (tmp_path / "real" / "record").read_bytes() == DATA


def test_adding_is_one_write_and_one_flush(tmp_path: Path) -> None:
    """However much is added, the disk is asked once each."""
    disk = FaultyDisk()
    fd = disk.open(tmp_path / "file", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    durable.append(fd, b"x" * 100_000, disk)
    os.close(fd)
    assert (disk.writes, disk.flushes) == (1, 1)


def test_only_plain_files_of_bounded_size_are_read(tmp_path: Path) -> None:
    """A pipe, a folder, a link and a file beyond the bound are refused; the bound itself is read."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "file").write_bytes(DATA)
    (tmp_path / "link").symlink_to("file")
    for name in ("pipe", "link", "."):
        with pytest.raises(OSError, match=r"plain|symbolic|directory"):
            durable.read_whole(tmp_path / name, 100)
    with pytest.raises(OSError, match="the most"):
        durable.read_whole(tmp_path / "file", len(DATA) - 1)
    assert durable.read_whole(tmp_path / "file", len(DATA)) == DATA
