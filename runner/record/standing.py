"""Which batches stand open, as a terminal that does not hold them sees them.

Owns the looking: a journal is folded again only when its file has changed. Must not write.
"""

from __future__ import annotations

import os
import socket
from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path

from runner.batch.state import BatchState
from runner.record.fold import FoldFault, fold
from runner.record.layout import JOURNAL
from runner.record.lock import Holder, holder
from runner.record.reading import read_journal
from runner.record.torn import Broken, split


@dataclass(frozen=True, slots=True)
class Standing:
    """An open batch.

    Attributes:
        batch: Its name.
        state: What its journal comes to; None where it does not fold.
        held_by: Another process that has it in hand, or None.
        problem: Why it has no state, in words.
        place: Its number among the open batches, kept until it ends; 1 where there is only one ever.
    """

    batch: str
    state: BatchState | None
    held_by: Holder | None = None
    problem: str | None = None
    place: int = 1


@dataclass(slots=True)
class Watcher:
    """Looks at journals that other terminals may be writing."""

    logs: Path
    _seen: dict[str, tuple[tuple[int, int], Standing]] = field(default_factory=dict)

    def look(self, batch: str) -> Standing:
        """A batch as it stands on the disk just now."""
        journal = self.logs / batch / JOURNAL
        try:
            stat = journal.lstat()
        except OSError as error:
            return Standing(batch, None, problem=f"its journal is away: {error.strerror}")
        mark = (stat.st_size, stat.st_mtime_ns)
        known = self._seen.get(batch)
        if known is None or known[0] != mark:
            known = (mark, self._read(batch))
            self._seen[batch] = known
        told = known[1]
        return Standing(batch, told.state, living(holder(journal)), told.problem)

    def keep_only(self, batches: Collection[str]) -> None:
        """Forget all others: batches that ended would fill the memory of a terminal that runs for weeks."""
        for name in tuple(self._seen):  # another thread may be looking
            if name not in batches:
                self._seen.pop(name, None)

    def _read(self, batch: str) -> Standing:
        try:
            raw = read_journal(self.logs / batch)
            # A line that another terminal is writing just now is not there yet.
            _, length = split(raw)
            return Standing(batch, fold(raw[:length]).state)
        except OSError as error:
            return Standing(batch, None, problem=f"its journal cannot be read: {error.strerror}")
        except (Broken, FoldFault) as fault:
            return Standing(batch, None, problem=f"its journal does not prove: {fault}")


def living(noted: Holder | None) -> Holder | None:
    """A holder whose process is known to be gone left its note behind in a crash."""
    if noted is None or noted.host != socket.gethostname():
        return noted
    try:
        os.kill(noted.pid, 0)
    except ProcessLookupError:
        return None
    except OSError:
        return noted
    return None if noted.pid == os.getpid() else noted
