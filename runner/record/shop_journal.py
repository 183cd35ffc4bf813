"""What does the shop itself remember: its people, its batches?

Owns the writing of ``shop.jsonl`` and of the list of signers that follows from it. What a line must prove
stands in `runner.record.shop_fold`; a line that would not count is refused before it is written.

The journal is held for one line at a time, so that several terminals can open and seal batches.
"""

from __future__ import annotations

import contextlib
from typing import TYPE_CHECKING, Self

from runner.faults import fault
from runner.plain_data import to_data
from runner.record import allowed_signers, durable
from runner.record import shop_events as ev
from runner.record.journal import Entry, Journal, LineSigner, composed
from runner.record.journal_errors import JournalTampered
from runner.record.layout import SHOP_JOURNAL
from runner.record.lines import GENESIS, Line, LineFault
from runner.record.shop_fold import ShopFault, fold_lines
from runner.record.shop_memory import ShopMemory
from runner.record.shop_reading import signers_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from runner.batch.moment import Moment
    from runner.record.durable import Disk
    from runner.record.shop_state import ShopState

WAIT_S = 5.0
"""How long a terminal waits for another that writes a line."""


class ShopJournal:
    """The shop's journal, held for writing. To be closed as soon as the line is written.

    Attributes:
        state: What its lines come to.
    """

    def __init__(
        self, folder: Path, journal: Journal, state: ShopState, disk: Disk, memory: ShopMemory | None = None
    ) -> None:
        """For `found` and `open` only."""
        self._memory = memory or ShopMemory()
        self._folder = folder
        self._journal = journal
        self._disk = disk
        self.state = state
        self._memory.keep(journal.known, state)

    @classmethod
    def found(
        cls, folder: Path, owner: ev.PersonAdded, now: Moment, signer: LineSigner, disk: Disk = durable.REAL
    ) -> Self:
        """Begin the journal of a shop with its owner, who signs that with their own key.

        Args:
            folder: The shop's ``logs``, which must be there.
            owner: Who; the role must be ``owner``.
            now: When.
            signer: Their key for journal lines.
            disk: The calls that can fail.

        Raises:
            InputFault: A name, role or key that no line may hold, or not the signer's.
            JournalExists: The shop has a journal.
            NotWritten: The disk did not take it.
        """
        path = folder / SHOP_JOURNAL
        entry = Entry(owner.kind, to_data(owner), owner.id, now, signer)
        state = _tried(path, lambda: (composed(entry, 1, GENESIS)[0],), None)
        made = cls(folder, Journal.create(path, entry, disk=disk), state, disk)
        made._write_signers()
        return made

    @classmethod
    def open(
        cls,
        folder: Path,
        now: Moment,
        *,
        wait_s: float = WAIT_S,
        disk: Disk = durable.REAL,
        memory: ShopMemory | None = None,
    ) -> Self:
        """Take the shop's journal for a line.

        Args:
            folder: The shop's ``logs``.
            now: When.
            wait_s: How long to wait for another terminal.
            disk: The calls that can fail.
            memory: What this process folded of it before; it learns what is written.

        Raises:
            JournalMissing: The shop has none.
            JournalTampered: It does not follow, or a line of it does not count.
            NotWritten: It cannot be read.
            Held: Another terminal did not let go of it.
        """
        path = folder / SHOP_JOURNAL
        memory = memory or ShopMemory()
        folded = memory.folded
        journal = Journal.open(path, now, wait_s=wait_s, disk=disk, known=folded.known if folded else None)
        try:
            state = fold_lines(journal.lines, folded.state if folded and journal.already_known else None)
            return cls(folder, journal, state, disk, memory)
        except ShopFault as broken:
            journal.close()
            raise JournalTampered(path, broken.reason, broken.line) from broken

    def write(self, event: ev.ShopEvent, who: str, now: Moment, signer: LineSigner) -> ShopState:
        """Write what happened, and add new keys to the list of signers.

        The list is only a print of the journal: where it cannot be written now, the next line writes it.

        Returns:
            The state with it.

        Raises:
            InputFault: The line would not count; nothing was written.
            NotWritten: The disk did not take it.
            JournalTampered: The file is not what was written.
        """
        entry = Entry(event.kind, to_data(event), who, now, signer)
        _tried(self._journal.path, lambda: self._journal.compose([entry]), self.state)
        self.state = fold_lines(self._journal.append_many([entry]), self.state)
        self._memory.keep(self._journal.known, self.state)
        self._write_signers()
        return self.state

    def close(self) -> None:
        """Let other terminals have it."""
        self._journal.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _write_signers(self) -> None:
        with contextlib.suppress(OSError):
            write_allowed_signers(self._folder, self.state, self._disk)


def write_allowed_signers(folder: Path, state: ShopState, disk: Disk = durable.REAL) -> None:
    """Add to the folder's ``allowed_signers`` what it lacks; no line of it is lost.

    Raises:
        OSError: It could not be read or written; the old file stands.
    """
    allowed_signers.write(folder / allowed_signers.FILE, signers_of(state), disk)


def _tried(path: Path, made: Callable[[], Sequence[Line]], state: ShopState | None) -> ShopState:
    """What lines would come to, refused as input where one would not count."""
    try:
        return fold_lines(made(), state)
    except (ShopFault, LineFault) as refused:
        raise fault(refused.reason, "mend that, then try again", str(path)) from refused
