"""Sealing: the record written from the journal, and signed.

Owns the order on the disk and the bytes. A batch that ended but was not sealed when the power went is
sealed later by the same person, to the same bytes: the record is a function of the journal, and an Ed25519
signature a function of key and record.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

from runner.record import durable, sshsig
from runner.record.durable import Disk
from runner.record.keys import UnlockedKey
from runner.record.layout import RECORD, SIGNATURE
from runner.record.reading import read_journal
from runner.record.render import render


def seal(folder: Path, key: UnlockedKey, namespace: str, disk: Disk = durable.REAL) -> str:
    """Write ``record.toml`` and its signature beside a journal that has ended.

    Args:
        folder: The batch's folder; the journal's last line is on the disk.
        key: Of the person who ended the batch.
        namespace: What the signature is good for.
        disk: The calls that can fail.

    Returns:
        SHA-256 of the record, for the shop journal.

    Raises:
        FoldFault: The journal does not fold.
        OSError: The disk did not take it, or another record stands there.
    """
    record = render(read_journal(folder))
    durable.write_new(folder / RECORD, record, disk)
    armoured = sshsig.armour(key.sign(namespace, record))
    durable.write_new(folder / SIGNATURE, armoured.encode("ascii"), disk)
    return hashlib.sha256(record).hexdigest()
