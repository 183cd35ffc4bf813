"""Is the file on the disk the one that was written here, and does it only grow?

Owns the bytes of one append-only file: adding to it, cutting a failed write off again, and the comparison
with memory before each write. Must not know what a line is, nor lock anything.

Only bytes that this program wrote in vain, or that were found torn at opening, are ever cut off.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
from typing import TYPE_CHECKING

from runner.record import durable
from runner.record.journal_errors import JournalTampered, not_written
from runner.record.lines import LONGEST_JOURNAL
from runner.record.torn import Torn

if TYPE_CHECKING:
    from pathlib import Path

    from runner.record.durable import Disk

_FLAGS = os.O_RDWR | os.O_APPEND


class GrowingFile:
    """An append-only file, opened.

    Attributes:
        torn: What was cut off and waits to be kept, or None.
    """

    def __init__(self, path: Path, disk: Disk = durable.REAL) -> None:
        """Open a file that is there. `settle` must follow.

        Raises:
            JournalTampered: It is a symbolic link.
            NotWritten: It cannot be opened for writing.
        """
        self._path = path
        self._disk = disk
        self.torn: Torn | None = None
        self._length = 0
        self._digest = hashlib.sha256()
        self._last = b""  # the end of the file, compared before each write
        self._attempt = b""  # what may stand behind it in vain
        self._unsure = False  # a failure happened: the next comparison is of the whole file
        self._fd = self._open()

    @property
    def whole(self) -> tuple[int, bytes]:
        """How many bytes count, and their SHA-256."""
        return self._length, self._digest.digest()

    def content(self) -> bytes:
        """All that stands in it now.

        Raises:
            NotWritten: It cannot be read, or is no plain file.
        """
        return self._read(self._fd)

    def settle(self, content: bytes, length: int, last: int) -> None:
        """Say how many bytes of the content are whole, and how many of those are the last line.

        What stands behind the whole is cut off.

        Raises:
            NotWritten: It could not be cut off.
        """
        whole, self._attempt = content[:length], content[length:]
        self._length = length
        self._digest = hashlib.sha256(whole)
        self._last = whole[-last:]
        if self._attempt:
            try:
                self._cut("found at opening")
            except OSError as error:
                raise not_written(self._path, error) from error

    def append(self, data: bytes) -> None:
        """Add bytes with one write and one flush. `compare` must have been called.

        Raises:
            NotWritten: They are not in the file, or will be cut off before the next write.
        """
        self._attempt = data
        try:
            durable.append(self._fd, data, self._disk)
        except OSError as error:
            self._unsure = True
            with contextlib.suppress(OSError):
                self._cut(f"not written: {error.strerror or error}")
            raise not_written(self._path, error) from error
        self._length += len(data)
        self._digest.update(data)
        self._last = data
        self._attempt = b""
        self.torn = None

    def compare(self) -> bool:
        """Make sure that the file is what memory says.

        After a failure, and where another file stands in its place (a disk taken off and put back), the whole
        of it is compared, and then taken into use.

        Returns:
            Whether another file stands there, of the same bytes: the folder may have been away.

        Raises:
            NotWritten: It cannot be reached just now.
            JournalTampered: It holds something else than was written.
        """
        try:
            there, ours = self._disk.stat(self._path), os.fstat(self._fd)
            moved = not os.path.samestat(there, ours)
            last = os.pread(self._fd, len(self._last), self._length - len(self._last))
            if moved or self._unsure or there.st_size != self._length or last != self._last:
                self._compare_all()
        except OSError as error:
            raise not_written(self._path, error) from error
        return moved

    def close(self) -> None:
        """Let it go."""
        os.close(self._fd)
        self._fd = -1

    def _compare_all(self) -> None:
        fd = self._open()
        try:
            content = self._read(fd)
            self._check(content)
        except BaseException:
            os.close(fd)
            raise
        os.close(self._fd)
        self._fd = fd
        if len(content) > self._length:
            self._cut("not written, and cut off later")
        self._unsure = False

    def _check(self, content: bytes) -> None:
        if hashlib.sha256(content[: self._length]).digest() != self._digest.digest():
            raise JournalTampered(
                self._path, "the journal was changed, cut or replaced since this program last wrote it"
            )
        surplus = content[self._length :]
        if not self._attempt.startswith(surplus):
            raise JournalTampered(
                self._path, f"{len(surplus)} bytes stand at its end that this program did not write"
            )

    def _cut(self, reason: str) -> None:
        """Cut the file to its whole length, keeping what stood behind it for the next write."""
        surplus = os.fstat(self._fd).st_size - self._length
        self._disk.truncate(self._fd, self._length)
        if surplus > 0:
            self.torn = self.torn or Torn(reason)
            self.torn.add(self._attempt[:surplus])
        self._attempt = b""
        self._disk.fsync(self._fd)

    def _open(self) -> int:
        try:
            return self._disk.open(self._path, _FLAGS)
        except OSError as error:
            if error.errno == errno.ELOOP:
                raise JournalTampered(self._path, "the journal is a symbolic link") from error
            raise not_written(self._path, error) from error

    def _read(self, fd: int) -> bytes:
        try:
            return durable.read_from(fd, LONGEST_JOURNAL)
        except OSError as error:
            raise not_written(self._path, error) from error
