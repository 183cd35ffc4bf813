"""Adding to a sealed record: the record stays as it is, and what is to be said beside it is signed too.

Owns the file of an addendum and its writing; `verify_addenda` proves it.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

import tomli_w

from runner.batch.moment import Moment, rfc3339
from runner.faults import fault
from runner.record import durable, sshsig
from runner.record.layout import ADDENDUM_NAMESPACE
from runner.record.session import Session
from runner.record.shop_events import AddendumSigned
from runner.record.shop_journal import ShopJournal
from runner.record.verify_addenda import file_of
from runner.text import shown, unfit


def add(logs: Path, batch: str, text: str, session: Session, now: Moment) -> Path:
    """Sign something that is to be said beside a sealed record.

    Order on the disk: the file, its signature, the shop's line that names its hash.

    Raises:
        InputFault: No such record, a text that cannot be kept, or a role that may not.
        JournalError: The disk did not take the shop's line.
        Held: Another terminal writes the shop's journal.
        OSError: The file could not be written.
    """
    said = text.strip()
    if not said or unfit(said):
        reason = unfit(said) or "nothing was written"
        raise fault(f"the text cannot be kept: {reason}", "write a few plain words")
    with ShopJournal.open(logs, now) as shop:
        told = shop.state.batches.get(batch)
        if told is None or told.record is None:
            raise fault(f"batch {shown(batch, 40)!r} has no sealed record", "see tankwalk records", str(logs))
        number = len(told.addenda) + 1
        content = _content(batch, number, told.record, said, session, now)
        path = file_of(logs / batch, number)
        durable.write_new(path, content)
        signature = sshsig.armour(session.key.sign(ADDENDUM_NAMESPACE, content))
        durable.write_new(Path(f"{path}.sig"), signature.encode("ascii"))
        event = AddendumSigned(batch, number, hashlib.sha256(content).hexdigest())
        shop.write(event, session.person.id, now, session.signer)
    return path


def _content(batch: str, number: int, record: str, text: str, session: Session, now: Moment) -> bytes:
    by = session.person
    return tomli_w.dumps(
        {
            "format": 1,
            "batch": batch,
            "number": number,
            "record_sha256": record,
            "text": text,
            "at": rfc3339(now.at_ms),
            "by": {"id": by.id, "name": by.name, "role": by.role, "key": by.key},
            "meaning": "added to the record, which stays as it was",
        }
    ).encode("utf-8")
