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
from runner.record.hold import JOURNAL
from runner.record.keys import UnlockedKey
from runner.record.lines import LONGEST_LINE
from runner.record.render import render

RECORD = "record.toml"
SIGNATURE = "record.toml.sig"
RECORD_NAMESPACE = "batch-record@tankwalk"
PRACTICE_RECORD_NAMESPACE = "practice-record@tankwalk"

LONGEST_JOURNAL = 16 * LONGEST_LINE
"""Most bytes of a batch's journal that are read: far over what a batch of many hundred steps comes to."""


def read_journal(folder: Path) -> bytes:
    """The bytes of a batch's journal.

    Raises:
        OSError: It cannot be read, is no plain file, or is larger than any batch's.
    """
    return durable.read_whole(folder / JOURNAL, LONGEST_JOURNAL)


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
