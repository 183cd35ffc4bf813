"""A practice walk that was left before its end: what is kept of it, how it is found, and taken up again.

Owns the file that keeps its log beside the journal, in its own folder of ``logs/practice``. The file is no
part of a record and proves nothing: one that does not fit its walk is as if it were not there. Time stands
still while a practice is left, so that a rack that hung in a tank hangs there no longer than before.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import msgspec

from runner.batch.intents import Stamp, Take
from runner.batch.practice_faults import LESSONS, schedule
from runner.batch.practice_log import PracticeLog
from runner.record import allowed_signers, durable
from runner.record.fold import FoldFault, fold
from runner.record.hold import Hold
from runner.record.keys import UnlockedKey
from runner.record.layout import JOURNAL, PRACTICE, PRACTICE_LINE_NAMESPACE
from runner.record.lock import holder
from runner.record.reading import read_journal
from runner.record.rehearse import Begun, practice_person
from runner.record.standing import living
from runner.record.torn import Broken, split

if TYPE_CHECKING:
    from runner.batch.state import BatchState
    from runner.procedure.sheet import Plan

LEFT = "practice.json"
"""The log of a practice, beside its journal."""

LONGEST = 1024 * 1024

DOINGS = frozenset({"", *(doing for one in LESSONS.values() for doing in (one.right, *one.wrong))})


class Left(NamedTuple):
    """A practice that was left.

    Attributes:
        folder: Where it lies.
        log: Which faults come, and what was noticed until then.
        state: Of its batch.
    """

    folder: Path
    log: PracticeLog
    state: BatchState


def keep(folder: Path, log: PracticeLog) -> None:
    """Keep the log of a practice as it is now.

    Raises:
        OSError: It could not be written; what was kept before stands.
    """
    durable.write_over(folder / LEFT, msgspec.json.encode(log))


def forget(folder: Path) -> None:
    """Offer a practice no more, that has ended or is not wanted; what was walked of it stays.

    Raises:
        OSError: Its file could not be taken away.
    """
    (folder / LEFT).unlink(missing_ok=True)


def find(logs: Path, plan: Plan, procedure_text: str, seed: int | None = None) -> Left | None:
    """The last practice of the very same walk that was left before its end and is in nobody's hand, or None.

    Args:
        logs: The shop's folder of logs.
        plan: What is walked; another load or another order of steps is another walk.
        procedure_text: What stands in the procedure's file now.
        seed: Of the practice, where one of a certain seed is looked for; else of any.
    """
    for file in sorted((logs / PRACTICE).glob(f"{PRACTICE}-*/{LEFT}"), reverse=True):
        left = _read(file.parent)
        if left is None or left.state.phase.ended or living(holder(file.parent / JOURNAL)):
            continue
        if seed is not None and left.log.seed != seed:
            continue
        opened = left.state.opened
        if (opened.plan, opened.procedure_text, opened.batch) == (plan, procedure_text, file.parent.name):
            return left
    return None


def take_up(left: Left) -> Begun:
    """Have it in hand again, at the moment when it was left, with another key that is in memory alone.

    Raises:
        JournalError: The disk did not take it.
        Held: It is in hand at another terminal.
        FoldFault: It was changed since it was found.
        OSError: The list of signers could not be written.
    """
    key, now = UnlockedKey.in_memory(), left.state.last
    by = practice_person(key)
    hold = Hold.take(left.folder, now)
    try:
        signer = allowed_signers.AllowedSigner(by.id, key.public, allowed_signers.PRACTICE)
        allowed_signers.write(left.folder / allowed_signers.FILE, [signer])
        hold.do(Take(), Stamp(now, by, unlocked=True, fresh=True), key.signer(PRACTICE_LINE_NAMESPACE))
    except BaseException:
        hold.close()
        raise
    return Begun(hold, by, key)


def _read(folder: Path) -> Left | None:
    """A practice from its folder; None where journal or log cannot be read, or the two do not fit."""
    try:
        kept = durable.read_whole(folder / LEFT, LONGEST)
        log = msgspec.json.decode(kept, type=PracticeLog)
        raw = read_journal(folder)
        _, length = split(raw)
        state = fold(raw[:length]).state
    except (OSError, msgspec.DecodeError, UnicodeDecodeError, RecursionError, Broken, FoldFault):
        return None
    faults = {None, *log.faults}
    fits = (
        log.faults == schedule(state.opened.plan, log.seed)
        and all(call.fault in faults and call.doing in DOINGS for call in log.calls)
        and msgspec.json.encode(log) == kept
    )
    return Left(folder, log, state) if fits else None
