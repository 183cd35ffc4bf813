"""How does a fact come into a journal, and stay there?

Owns the one writer of a journal: facts in, chained and signed lines on the disk. Must not know what the
lines tell or whose keys sign them, never rewrites a line, and reads no clock.

- A line counts as kept once it is written and flushed; before that nobody is told so.
- A write that failed is cut off again, and what stood there is kept in a ``tail-set-aside`` event, which goes
  first in the next write. So does a torn tail that is found at opening.
- Before each write the file is compared with memory.
- One process writes a journal at a time.
"""

from __future__ import annotations

import os
import threading
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Protocol, Self

from runner.record import durable, torn
from runner.record.growing_file import GrowingFile
from runner.record.journal_errors import JournalExists, JournalMissing, JournalTampered, not_written
from runner.record.known_lines import KnownLines, split_after
from runner.record.lines import GENESIS, Line, dump, line_hash, parse, unsigned_bytes
from runner.record.lock import WriterLock

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from runner.batch.moment import Moment
    from runner.record.durable import Disk


class LineSigner(Protocol):
    """A key bound to the namespace of journal lines; `runner.record.sshsig.Signer` is one."""

    def sign(self, message: bytes) -> str:
        """Base64 of the SSHSIG blob over a message."""
        ...


@dataclass(frozen=True, slots=True)
class Entry:
    """What is to be written.

    Attributes:
        kind: What sort of thing it tells.
        data: What it tells: plain JSON.
        who: ID of the person, or empty.
        moment: When it happened.
        signer: The key that the person unlocked, or None.
    """

    kind: str
    data: dict[str, Any]
    who: str
    moment: Moment
    signer: LineSigner | None = None


class Journal:
    """The one writer of a journal. Safe to call from several threads.

    Attributes:
        path: Its file.
        already_known: How many lines on the disk were known, and not read again at opening.
        lines: Every line that is on the disk behind those, in order. Not to be changed.
        last_hash: SHA-256 of the last line on the disk.
    """

    def __init__(self, path: Path, lock: WriterLock, disk: Disk, known: KnownLines | None = None) -> None:
        """Takes over a lock that is held. For `create` and `open` only."""
        self.path = path
        self._lock = lock
        self._one = threading.Lock()
        self._closed = False
        self._file = GrowingFile(path, disk)
        try:
            self._take_over(known)
        except BaseException:
            self._file.close()
            raise

    @classmethod
    def create(cls, path: Path, first: Entry, *, wait_s: float = 0, disk: Disk = durable.REAL) -> Self:
        """Make a journal with its first line, and hold it for writing. Its folder must be there.

        Raises:
            JournalExists: One stands there.
            NotWritten: The disk did not take it.
            Held: Another process is making it just now.
            LineFault: The entry holds what no line may.
        """
        with _Freed(_taken(path, first.moment, wait_s)) as lock:
            if os.path.lexists(path):
                raise JournalExists(path, "a journal stands here already", "open it, or take another number")
            _, raw = composed(first, 1, GENESIS)
            try:
                durable.write_new(path, raw, disk)
            except OSError as error:
                raise not_written(path, error) from error
            return cls(path, lock, disk)

    @classmethod
    def open(
        cls,
        path: Path,
        now: Moment,
        *,
        wait_s: float = 0,
        disk: Disk = durable.REAL,
        known: KnownLines | None = None,
    ) -> Self:
        """Take a journal for writing: read it, check that each line follows, cut a torn tail off.

        Args:
            path: The file.
            now: For the note that tells a second terminal since when it is held.
            wait_s: How long to wait for another writer to finish.
            disk: The calls that can fail.
            known: What was read of it before; lines that stand there unchanged are not read again.

        Raises:
            JournalMissing: No file there.
            JournalTampered: It is not what a writer leaves behind, not even a torn one.
            NotWritten: It cannot be read, or its torn tail not cut.
            Held: Another process writes it.
        """
        if not os.path.lexists(path):
            raise JournalMissing(path, "no journal here", "look whether its folder was moved or taken away")
        with _Freed(_taken(path, now, wait_s)) as lock:
            return cls(path, lock, disk, known)

    @property
    def known(self) -> KnownLines:
        """What is on the disk, to be handed to the next opening."""
        length, digest = self._file.whole
        return KnownLines(self._number, length, digest, self.last_hash)

    @property
    def _number(self) -> int:
        """How many lines are on the disk."""
        return self.already_known + len(self.lines)

    @property
    def torn(self) -> torn.Torn | None:
        """What the next write will set aside first, or None."""
        return self._file.torn

    def append(
        self,
        kind: str,
        data: dict[str, Any],
        who: str,
        moment: Moment,
        signer: LineSigner | None = None,
    ) -> tuple[Line, ...]:
        """Write one line; as `append_many`."""
        return self.append_many([Entry(kind, data, who, moment, signer)])

    def append_many(self, entries: Sequence[Entry]) -> tuple[Line, ...]:
        """Write lines with one write and one flush.

        Returns:
            Every line that was added, as a reader will read it: before those asked for comes a
            ``tail-set-aside`` of the same person and key, where a torn tail waited to be kept.

        Raises:
            NotWritten: The disk did not take them. None counts; the same call may be made again.
            JournalTampered: The file is not what was written here.
            Held: The folder was away, and another process took the journal when it came back.
            LineFault: An entry holds what no line may.
        """
        with self._one:
            if self._closed:
                raise ValueError(f"{self.path} was closed")
            if self._file.compare():
                self._lock.free()  # the folder may have been away, and the lock on a file that nobody sees
            if not self._lock.held:
                _take(self.path, self._lock)
                self._file.compare()
            made = self._composed(entries)
            if made:
                self._file.append(b"".join(raw for _, raw, _ in made))
                self.lines.extend(line for line, _, _ in made)
                self.last_hash = made[-1][2]
            return tuple(line for line, _, _ in made)

    def compose(self, entries: Sequence[Entry]) -> tuple[Line, ...]:
        """The lines that `append_many` would write now, for a look beforehand.

        Raises:
            LineFault: An entry holds what no line may.
        """
        return tuple(line for line, _, _ in self._composed(entries))

    def _composed(self, entries: Sequence[Entry]) -> list[tuple[Line, bytes, str]]:
        """The lines to be written, each with its bytes and their hash."""
        wanted = list(entries)
        if self.torn is not None and wanted:
            wanted.insert(0, replace(wanted[0], kind=torn.KIND, data=self.torn.data()))
        made: list[tuple[Line, bytes, str]] = []
        prev = self.last_hash
        for seq, entry in enumerate(wanted, start=self._number + 1):
            line, raw = composed(entry, seq, prev)
            prev = line_hash(raw)
            made.append((line, raw, prev))
        return made

    def close(self) -> None:
        """Let others write it."""
        with self._one:
            if not self._closed:
                self._closed = True
                self._file.close()
                self._lock.free()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _take_over(self, known: KnownLines | None) -> None:
        content = self._file.content()
        try:
            read = split_after(content, known)
        except torn.Broken as broken:
            raise JournalTampered(self.path, broken.reason, broken.seq) from broken
        self.already_known, self.lines = read.already_known, read.added
        self.last_hash = line_hash(read.last)
        self._file.settle(content, read.length, len(read.last))


class _Freed:
    """Frees a lock where what is done under it fails."""

    def __init__(self, lock: WriterLock) -> None:
        self._lock = lock

    def __enter__(self) -> WriterLock:
        return self._lock

    def __exit__(self, kind: object, *_: object) -> None:
        if kind is not None:
            self._lock.free()


def _taken(path: Path, now: Moment, wait_s: float) -> WriterLock:
    lock = WriterLock(path, now)
    _take(path, lock, wait_s)
    return lock


def _take(path: Path, lock: WriterLock, wait_s: float = 0) -> None:
    try:
        lock.take(wait_s)
    except OSError as error:
        raise not_written(path, error) from error


def composed(entry: Entry, seq: int, prev: str) -> tuple[Line, bytes]:
    """The line that an entry makes, and its bytes.

    It is read back, so that what would be refused at reading is never written.

    Raises:
        LineFault: The entry holds what no line may.
    """
    line = Line(seq, entry.moment, entry.kind, entry.data, entry.who, prev)
    if entry.signer is not None:
        line = line._replace(sig=entry.signer.sign(unsigned_bytes(line)))
    raw = dump(line)
    return parse(raw), raw
