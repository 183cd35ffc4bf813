"""Which records have been kept long enough, and taking one away.

Owns the order: an archive that proves, then the signed line of the shop's journal, then the files. A record
goes only when its time is over, only when it proves (one that does not is evidence), and by the owner's hand.
How long records must be kept, law and customers say; the shop writes it down as ``keep_years``.
"""

from __future__ import annotations

import os
import shutil
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from runner.batch.moment import Moment, rfc3339
from runner.faults import InputFault, fault
from runner.record import durable
from runner.record.archive import batch_of
from runner.record.archive_make import batch_members, make
from runner.record.archive_verify import verify_archive
from runner.record.journal_errors import JournalError
from runner.record.layout import DELETED, LOGS, SHOP_JOURNAL
from runner.record.lock import Held
from runner.record.session import Session
from runner.record.shop_events import BatchDeleted
from runner.record.shop_journal import ShopJournal
from runner.record.shop_state import ShopBatch, ShopState
from runner.record.trust import ground
from runner.record.verify_batch import prove_batch

ARCHIVES = "archive"
"""Folder of a shop in which an archive lies that was made before a deletion."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_LAST_YEAR = 9999


@dataclass(frozen=True, slots=True)
class Due:
    """A batch whose time is over.

    Attributes:
        ended: RFC 3339.
        until: RFC 3339: it was to be kept until then.
    """

    batch: str
    ended: str
    until: str


def due(shop: ShopState, keep_years: int | None, now: Moment) -> tuple[Due, ...]:
    """Batches that have been kept long enough, the oldest first; none where records are kept for ever."""
    kept = [
        (name, kept_until_ms(one, keep_years)) for name, one in shop.batches.items() if one.deleted is None
    ]
    return tuple(
        Due(name, rfc3339(shop.batches[name].closed_at_ms or 0), rfc3339(until_ms))
        for name, until_ms in kept
        if until_ms is not None and until_ms <= now.at_ms
    )


def kept_until_ms(batch: ShopBatch, keep_years: int | None) -> int | None:
    """The moment so many years after a batch ended (29 February: 1 March); None where there is none."""
    if keep_years is None or batch.closed_at_ms is None:
        return None
    ended = _EPOCH + timedelta(milliseconds=batch.closed_at_ms)
    if ended.year + keep_years > _LAST_YEAR:
        return None
    try:
        until = ended.replace(year=ended.year + keep_years)
    except ValueError:
        until = ended.replace(year=ended.year + keep_years, month=3, day=1)
    return (until - _EPOCH) // timedelta(milliseconds=1)


def delete(
    folder: Path, batch: str, reason: str, keep_years: int | None, owner: Session, now: Moment
) -> Path:
    """Take a batch away.

    Args:
        folder: The shop's folder.
        batch: Its name.
        reason: Why, for the shop's journal.
        keep_years: How long the shop keeps records; None for ever.
        owner: Unlocked.
        now: When.

    Returns:
        Its archive, which lies in the shop's ``archive`` folder.

    Raises:
        InputFault: It stays, and why.
        OSError: The disk did not take it.
    """
    logs = folder / LOGS
    trusted = ground(logs, None, None)
    if trusted.shop is None or trusted.findings:
        what = trusted.findings[0].what if trusted.findings else "there is no shop's journal"
        raise fault(f"the shop's records do not prove: {what}", "call the owner; change nothing")
    told = trusted.shop.batches.get(batch)
    archive = folder / ARCHIVES / f"{batch}.zip"
    if told is not None and told.deleted is not None:
        if not _remove(logs, batch):
            raise fault(f"batch {batch} was deleted before", "nothing is left to do")
        return archive
    told = _ended(told, batch)
    _check_time(told, keep_years, now)
    proof = prove_batch(logs / batch, trusted)
    if proof.findings:
        found = proof.findings[0]
        raise fault(f"it does not prove, {found.where}: {found.what}", "keep it: it is evidence", batch)
    _archived(logs, told, archive, trusted.shop.owner)
    event = BatchDeleted(batch=batch, record=told.record or "", reason=reason)
    try:
        with ShopJournal.open(logs, now) as shop:
            shop.write(event, owner.person.id, now, owner.signer)
    except JournalError as error:
        raise InputFault(error.fault) from error
    except Held as held:
        raise fault("another terminal writes the shop's journal", "call again", SHOP_JOURNAL) from held
    _remove(logs, batch)
    return archive


def _ended(told: ShopBatch | None, batch: str) -> ShopBatch:
    if told is None:
        raise fault("the shop's journal does not know this batch", "see `tankwalk archive due`", batch)
    if told.closed is None:
        raise fault("it has not ended", "only what ended and was kept its time can go", batch)
    return told


def _check_time(told: ShopBatch, keep_years: int | None, now: Moment) -> None:
    until_ms = kept_until_ms(told, keep_years)
    if until_ms is None:
        remedy = "write how long with keep_years under [limits] in shop.toml, if law and customers allow it"
        raise fault("this shop keeps its records for ever", remedy, told.name)
    if until_ms > now.at_ms:
        when = rfc3339(until_ms)[:10]
        raise fault(f"it is kept until {when}", "keep it until then", told.name)


def _archived(logs: Path, told: ShopBatch, archive: Path, owner: str) -> None:
    """An archive of the batch that proves against the shop's own owner: made now, or lying there."""
    archive.parent.mkdir(exist_ok=True)
    if not os.path.lexists(archive):
        make(logs, f"batch {told.name}", archive)
    verdict = verify_archive(archive, owner)
    if verdict.ok and verdict.manifest is not None:
        packed = tuple(one for one in verdict.manifest.members if batch_of(one.name) == told.name)
        if packed == batch_members(logs, told.name):  # an addendum may have come since it was made
            return
    found = verdict.findings[0] if verdict.findings else None
    what = f"{found.where}: {found.what}" if found else "it holds other files than the batch has now"
    raise fault(f"its archive does not serve: {what}", "take that file away, then call again", str(archive))


def _remove(logs: Path, batch: str) -> bool:
    """Take a batch's folder away under another name, so that half of one never stands under its own."""
    folder, trash = logs / batch, logs / f"{DELETED}{batch}"
    there = [path for path in (trash, folder) if os.path.lexists(path)]
    if trash in there:
        shutil.rmtree(trash)
    if folder in there:
        folder.rename(trash)
        durable.fsync_folder(logs)
        shutil.rmtree(trash)
    durable.fsync_folder(logs)
    return bool(there)
