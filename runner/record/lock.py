"""Who writes this journal just now?

Owns the lock that lets one process write a journal, and the note that says which one. Must not open the
journal. The lock is the system's own: it dies with its process, so nothing stale ever holds a batch. The
note is only read while the lock is held, and lies in a file of its own, since some releases of the lock
library empty the lock file when they try it.
"""

from __future__ import annotations

import contextlib
import json
import os
import socket
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from filelock import FileLock, Timeout

from runner.batch.moment import rfc3339
from runner.record import durable

if TYPE_CHECKING:
    from pathlib import Path

    from runner.batch.moment import Moment

_LONGEST_NOTE = 4096


@dataclass(frozen=True, slots=True)
class Holder:
    """A process that writes a journal.

    Attributes:
        pid: Its number on its machine.
        host: That machine's name.
        since: RFC 3339 time at which it took the journal.
    """

    pid: int
    host: str
    since: str

    def __str__(self) -> str:
        """For a sentence."""
        return f"process {self.pid} on {self.host}, since {self.since[:16].replace('T', ' ')} UTC"


class Held(Exception):
    """Another process writes this journal.

    Attributes:
        path: The journal.
        by: Who holds it, or None where it left no readable note.
    """

    def __init__(self, path: Path, by: Holder | None) -> None:
        super().__init__(f"{path} is in use by {by or 'another process'}")
        self.path = path
        self.by = by


class WriterLock:
    """The right to write one journal: ``journal.lock`` beside ``journal.jsonl``."""

    def __init__(self, journal: Path, now: Moment) -> None:
        self._journal = journal
        self._note = _note_path(journal)
        self._holder = Holder(os.getpid(), socket.gethostname(), rfc3339(now.at_ms))
        self._lock = FileLock(str(journal.with_suffix(".lock")), thread_local=False)

    def take(self, wait_s: float = 0) -> None:
        """Take the journal, waiting a while for another to finish.

        Raises:
            Held: Another still holds it.
            OSError: The folder is gone or cannot be written.
        """
        try:
            self._lock.acquire(timeout=wait_s)
        except Timeout as timeout:
            raise Held(self._journal, holder(self._journal)) from timeout
        with contextlib.suppress(OSError):  # a full disk must not keep anybody from a batch: the lock counts
            self._note.unlink(missing_ok=True)
            durable.write_over(self._note, json.dumps(asdict(self._holder)).encode("ascii"))

    @property
    def held(self) -> bool:
        """Whether it is in hand."""
        return bool(self._lock.is_locked)

    def free(self) -> None:
        """Let others have it."""
        if self.held:
            with contextlib.suppress(OSError):
                self._note.unlink()
            self._lock.release()


def holder(journal: Path) -> Holder | None:
    """Who last took a journal and has not freed it, or None where nobody left a readable note."""
    try:
        note = json.loads(durable.read_whole(_note_path(journal), _LONGEST_NOTE))
        return Holder(int(note["pid"]), str(note["host"]), str(note["since"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _note_path(journal: Path) -> Path:
    return journal.with_suffix(".holder")
