"""How does something come onto the disk so that a power cut cannot take it back?

Owns the few steps of safe writing, each flushed before the next. Must not know what it writes. Every call
that can fail goes through `Disk`, so that tests can make it fail.
"""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

_NO_LINKS = (errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP)


class Disk:
    """The calls to the system that safe writing needs; the real ones here."""

    def open(self, path: Path, flags: int, mode: int = 0o644) -> int:
        """A descriptor that no child inherits, of the path itself: a symbolic link is refused (ELOOP)."""
        return os.open(path, flags | os.O_CLOEXEC | os.O_NOFOLLOW | os.O_NONBLOCK, mode)

    def write(self, fd: int, data: bytes) -> int:
        """One write; how many bytes went."""
        return os.write(fd, data)

    def fsync(self, fd: int) -> None:
        """Wait until all of a file or folder is on the disk."""
        os.fsync(fd)

    def truncate(self, fd: int, length: int) -> None:
        """Cut a file to a length."""
        os.ftruncate(fd, length)

    def stat(self, path: Path) -> os.stat_result:
        """What stands at a path, a link not followed."""
        return os.lstat(path)

    def link(self, source: Path, target: Path) -> None:
        """Give a file a second name; fails where that name is taken."""
        os.link(source, target, follow_symlinks=False)

    def replace(self, source: Path, target: Path) -> None:
        """Rename a file in one step, over what stood there."""
        source.replace(target)

    def unlink(self, path: Path) -> None:
        """Take a name away."""
        path.unlink()


REAL = Disk()


def append(fd: int, data: bytes, disk: Disk = REAL) -> None:
    """Put bytes at the end of a file opened for appending: exactly one write and one flush.

    Raises:
        OSError: It failed, or only part went. How much stands in the file is then for the caller to see.
    """
    went = disk.write(fd, data)
    if went != len(data):
        raise OSError(errno.ENOSPC, f"only {went} of {len(data)} bytes went to the disk")
    disk.fsync(fd)


def read_whole(path: Path, most_bytes: int, disk: Disk = REAL) -> bytes:
    """The bytes of a plain file.

    Raises:
        OSError: It cannot be read, is a symbolic link or no plain file, or holds more than `most_bytes`.
    """
    fd = disk.open(path, os.O_RDONLY)
    try:
        return read_from(fd, most_bytes)
    finally:
        os.close(fd)


def read_from(fd: int, most_bytes: int) -> bytes:
    """All bytes of an open plain file, from its start.

    Raises:
        OSError: As `read_whole`.
    """
    found = os.fstat(fd)
    if not stat.S_ISREG(found.st_mode):
        raise OSError(errno.EINVAL, "it is no plain file")
    if found.st_size > most_bytes:
        raise OSError(errno.EFBIG, f"it holds {found.st_size} bytes, where {most_bytes} are the most")
    parts: list[bytes] = []
    at = 0
    while at <= most_bytes and (part := os.pread(fd, 1 << 20, at)):
        parts.append(part)
        at += len(part)
    return b"".join(parts)


def write_new(path: Path, data: bytes, disk: Disk = REAL, mode: int = 0o644) -> None:
    """Make a file that is there whole or not at all, and never in place of another.

    A file of the same bytes that is there already is flushed and left: so a seal broken off by a power cut
    can be done again.

    Raises:
        FileExistsError: A different file stands there.
        OSError: It could not be written; nothing stands at the path.
    """
    beside = _written_beside(path, data, disk, mode)
    try:
        _give_name(beside, path, disk)
    except FileExistsError:
        if not _holds(path, data, disk):
            raise
        _flush(path, os.O_RDONLY, disk)
    finally:
        with contextlib.suppress(OSError):
            disk.unlink(beside)
    fsync_folder(path.parent, disk)


def write_over(path: Path, data: bytes, disk: Disk = REAL, mode: int = 0o644) -> None:
    """Replace a file in one step: a power cut leaves the old one or the new one, whole.

    Raises:
        OSError: It could not be written; the old file stands.
    """
    beside = _written_beside(path, data, disk, mode)
    try:
        disk.replace(beside, path)
    except OSError:
        with contextlib.suppress(OSError):
            disk.unlink(beside)
        raise
    fsync_folder(path.parent, disk)


def fsync_folder(folder: Path, disk: Disk = REAL) -> None:
    """Flush a folder, so that the names in it outlast a power cut."""
    try:
        _flush(folder.resolve(), os.O_RDONLY | os.O_DIRECTORY, disk)  # a shop may link its logs elsewhere
    except OSError as error:
        if error.errno != errno.EINVAL:  # some network file systems flush names by themselves and say this
            raise


def _written_beside(path: Path, data: bytes, disk: Disk, mode: int) -> Path:
    """A flushed file with the data, under a name of this process in the same folder."""
    beside = path.with_name(f".{path.name}.{os.getpid()}.tmp")
    with contextlib.suppress(FileNotFoundError):
        disk.unlink(beside)  # left by a process of the same number that the power cut short
    fd = disk.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    try:
        append(fd, data, disk)
    except OSError:
        with contextlib.suppress(OSError):
            disk.unlink(beside)
        raise
    finally:
        os.close(fd)
    return beside


def _give_name(beside: Path, path: Path, disk: Disk) -> None:
    """Name a finished file. A rename would silently replace, so it serves only where links cannot be made."""
    try:
        disk.link(beside, path)
    except FileExistsError:
        raise
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path)) from error
        disk.replace(beside, path)


def _holds(path: Path, data: bytes, disk: Disk) -> bool:
    """Whether a plain file of exactly these bytes stands at a path."""
    try:
        return read_whole(path, len(data), disk) == data
    except OSError:
        return False


def _flush(path: Path, flags: int, disk: Disk) -> None:
    fd = disk.open(path, flags)
    try:
        disk.fsync(fd)
    finally:
        os.close(fd)
