"""What a print is made from: a batch's journal as far as it can be read, its record, and the verdict on both.

Owns the reading. A batch that does not prove is read all the same, as far as it goes: the print then says so.
"""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass
from pathlib import Path

from runner.batch.state import BatchState
from runner.faults import InputFault, fault
from runner.record import durable
from runner.record.fold import Folded, FoldFault, step
from runner.record.layout import JOURNAL, PRACTICE, RECORD
from runner.record.lines import Line, LineFault, parse, raw_lines
from runner.record.reading import read_journal
from runner.record.shop_fold import ShopFault
from runner.record.shop_reading import read_shop
from runner.record.verify import Verdict, verify
from runner.record.verify_batch import LONGEST_RECORD, BatchProof


@dataclass(frozen=True, slots=True)
class Material:
    """One batch, read to be printed.

    Attributes:
        folder: The batch's folder.
        verdict: Of verification, on the bytes that are printed.
        folded: The journal as far as it could be read; None where not even line 1 could.
        stopped: Where reading the journal stopped and why; None where all of it was read.
        record: The bytes of its record; None where there is none, or it cannot be read.
        owner: Fingerprint of the owner's key by the shop's journal; None where that tells none.
    """

    folder: Path
    verdict: Verdict
    folded: Folded | None
    stopped: str | None
    record: bytes | None
    owner: str | None

    @property
    def proof(self) -> BatchProof:
        """The verdict's proof of this very batch."""
        return self.verdict.batches[0]

    @property
    def record_sha256(self) -> str | None:
        """Of the record as it lies there."""
        return None if self.record is None else hashlib.sha256(self.record).hexdigest()


def gather(path: Path, signers: Path | None = None, owner: str | None = None) -> Material:
    """Read and prove one batch.

    Args:
        path: Its folder, or a file in it.
        signers: A list of signers kept outside the records.
        owner: Fingerprint of the owner's key, from paper.

    Raises:
        InputFault: No batch lies there, a whole shop does, it is being written just now, or the list of
            signers cannot be read.
    """
    folder = _folder(path)
    before = _journal(folder)
    verdict = verify(folder, signers, owner)
    if len(verdict.batches) != 1:
        raise fault("a whole shop lies here", "name one batch's folder", str(path))
    if _journal(folder) != before:
        raise fault("its journal was written on while it was read", "print it again", str(path))
    folded, stopped = _read(before)
    return Material(folder, verdict, folded, stopped, _record(folder), _owner(folder))


def _folder(path: Path) -> Path:
    folder = path if path.is_dir() else path.parent
    folder = folder.absolute() if folder.name not in {"", ".", ".."} else folder.resolve()
    if not os.path.lexists(path) or not any(os.path.lexists(folder / name) for name in (JOURNAL, RECORD)):
        raise fault("no batch lies here", f"name a batch's folder (it holds {JOURNAL})", str(path))
    return folder


def _journal(folder: Path) -> bytes:
    try:
        return read_journal(folder)
    except OSError:
        return b""  # the verdict says why it cannot be read


def _read(raw: bytes) -> tuple[Folded | None, str | None]:
    """The journal folded as far as it goes, and where that ended."""
    state: BatchState | None = None
    lines: list[Line] = []
    stopped: str | None = None
    whole, rest = raw_lines(raw)
    for number, piece in enumerate([*whole, rest] if rest else whole, start=1):
        try:
            line = parse(piece)
            state = step(state, line)
        except LineFault as wrong:
            stopped = f"line {number}: {wrong.reason}"
            break
        except FoldFault as wrong:
            stopped = f"line {number}: {wrong.reason}"
            break
        lines.append(line)
    if state is None:
        return None, stopped or "the journal is empty or cannot be read"
    return Folded(state, tuple(lines), hashlib.sha256(raw).hexdigest(), len(raw)), stopped


def _record(folder: Path) -> bytes | None:
    try:
        return durable.read_whole(folder / RECORD, LONGEST_RECORD)
    except OSError:
        return None


def _owner(folder: Path) -> str | None:
    logs = folder.parent.parent if folder.parent.name == PRACTICE else folder.parent
    try:
        return read_shop(logs).owner
    except (InputFault, ShopFault):
        return None
