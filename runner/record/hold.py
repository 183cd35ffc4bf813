"""One batch in hand: intents go in, and what they come to is on the disk before anybody is told.

Owns the meeting of the pure room (`decide`, `evolve`) with the journal. The state here is the fold of the
journal's lines and nothing else; a restart builds it again from them.
"""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Self

from runner.batch.decide import decide
from runner.batch.events import BatchOpened, Event
from runner.batch.intents import Intent, Stamp
from runner.batch.kinds import event_data
from runner.batch.moment import Moment
from runner.batch.state import BatchState
from runner.record import durable
from runner.record.durable import Disk
from runner.record.fold import step
from runner.record.journal import Entry, Journal, LineSigner
from runner.record.layout import JOURNAL
from runner.record.lines import Line


class Hold:
    """A batch that this process may write. Safe to call from several threads.

    Attributes:
        folder: The batch's folder.
        state: What its journal comes to.
    """

    def __init__(self, folder: Path, journal: Journal) -> None:
        self.folder = folder
        self._journal = journal
        self._one = threading.Lock()
        state: BatchState | None = None
        for line in journal.lines:
            state = step(state, line)
        assert state is not None  # a journal is never without its first line
        self.state = state

    @classmethod
    def create(
        cls, folder: Path, first: BatchOpened, moment: Moment, signer: LineSigner, disk: Disk = durable.REAL
    ) -> Self:
        """Open a batch: its folder, and its journal with its first line.

        Raises:
            JournalExists: The folder holds a batch.
            NotWritten: The disk did not take it.
        """
        entry = Entry(first.kind, event_data(first), first.by.id, moment, signer)
        return cls(folder, Journal.create(folder / JOURNAL, entry, disk=disk))

    @classmethod
    def take(cls, folder: Path, now: Moment, disk: Disk = durable.REAL) -> Self:
        """Take a batch that stands on the disk.

        Raises:
            Held: Another process has it in hand.
            FoldFault: Its journal does not fold.
            JournalError: It cannot be read or written.
        """
        journal = Journal.open(folder / JOURNAL, now, disk=disk)
        try:
            return cls(folder, journal)
        except BaseException:
            journal.close()
            raise

    def do(self, intent: Intent, stamp: Stamp, signer: LineSigner | None) -> tuple[Event, ...]:
        """Carry an intent out.

        Args:
            intent: What is wanted.
            stamp: By whom and when.
            signer: Their key for journal lines, or None while it is locked.

        Returns:
            What happened, all of it on the disk.

        Raises:
            Refused: It would break the order or the record; nothing was written.
            NotWritten: The disk did not take it; nothing of it counts.
            JournalTampered: The journal is not what was written; nothing was added.
        """
        with self._one:
            events = decide(self.state, intent, stamp)
            entries = [
                Entry(event.kind, event_data(event), stamp.by.id, stamp.moment, signer) for event in events
            ]
            for line in self._journal.append_many(entries):
                self.state = step(self.state, line)
            return events

    @property
    def lines(self) -> tuple[Line, ...]:
        """The journal's lines, all on the disk."""
        return tuple(self._journal.lines)

    @property
    def last_hash(self) -> str:
        """Hash of the last line, for the shop journal to pin."""
        return self._journal.last_hash

    def close(self) -> None:
        """Let another terminal take it."""
        self._journal.close()
