"""Proving one batch: its journal, its record, and what the shop's journal says of it.

Owns the checks of a single batch's folder; the list of rules stands in `verify`.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from runner.batch.kinds import SIGNED_KINDS
from runner.batch.moment import rfc3339
from runner.batch.state import BatchState, Phase
from runner.batch.terms import Mode
from runner.record import allowed_signers, durable, sshsig
from runner.record.fold import Folded, FoldFault, fold_lines
from runner.record.layout import (
    DELETED,
    JOURNAL,
    LINE_NAMESPACE,
    LOGS,
    PRACTICE,
    PRACTICE_LINE_NAMESPACE,
    PRACTICE_RECORD_NAMESPACE,
    RECORD,
    RECORD_NAMESPACE,
    SIGNATURE,
)
from runner.record.reader import Finding, Proof, prove
from runner.record.reading import read_journal
from runner.record.render import render_folded
from runner.record.shop_state import Deletion, ShopBatch
from runner.record.trust import Trust, Trusted, practice_ground
from runner.record.verify_addenda import addenda_notes, addenda_proved
from runner.record.verify_lines import as_approved, as_known, as_signed_off, own_hand, times_run_on

LONGEST_RECORD = 64 * 1024 * 1024
LONGEST_SIGNATURE = 4096

Status = Literal["sealed", "open", "not sealed", "unread", "deleted"]


@dataclass(frozen=True, slots=True)
class BatchProof:
    """What came of proving one batch.

    Attributes:
        batch: Its name, by its folder.
        status: Sealed, open, ended but not sealed, not to be read, or deleted when its time was over.
        findings: What does not prove.
        notes: What is no fault but to be known: unsigned lines, clock steps, torn tails.
    """

    batch: str
    status: Status
    findings: tuple[Finding, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Ground:
    """What this batch is proved on: its keys, namespaces and mode."""

    line_keys: dict[str, frozenset[bytes]]
    record_keys: dict[str, frozenset[bytes]]
    line_namespace: str
    record_namespace: str
    mode: Mode


def prove_batch(folder: Path, trusted: Trusted) -> BatchProof:
    """Prove a production batch."""
    told = trusted.shop.batches.get(folder.name) if trusted.shop else None
    if told is not None and told.deleted is not None and not os.path.lexists(folder):
        return BatchProof(folder.name, "deleted", (), tuple(_deletion_notes(folder, told.deleted)))
    on = _Ground(
        trusted.line_keys(folder.name),
        trusted.record_keys(folder.name),
        LINE_NAMESPACE,
        RECORD_NAMESPACE,
        "production",
    )
    read = _read(folder, on)
    findings, notes = list(read.proof.findings), read.proof.notes
    if trusted.shop is None:
        without = "proved without a shop's journal: it would tell a cut end, and who had which name and role"
        return replace(read.proof, notes=(*read.proof.notes, without))
    if told is not None and told.deleted is not None:
        findings.append(Finding(f"{deletion_words(told.deleted)}, and it lies here", folder.name))
    if told is None:
        findings.append(Finding("the shop's journal does not know this batch", folder.name))
    else:
        findings += _bound(told, read)
        findings += as_known(trusted.shop, folder.name, read.proved)
        if read.folded is not None:
            findings += as_approved(trusted.shop, told, read.folded.state.opened)
            findings += as_signed_off(trusted.shop, told, read.folded)
        findings += addenda_proved(folder, told, trusted.shop)
        notes = (*notes, *addenda_notes(told))
    return replace(read.proof, findings=tuple(findings), notes=notes)


def _deletion_notes(folder: Path, deleted: Deletion) -> Iterator[str]:
    yield deletion_words(deleted)
    if os.path.lexists(folder.with_name(f"{DELETED}{folder.name}")):
        yield "the deletion was broken off: `tankwalk archive delete` again takes the last of its files away"


def deletion_words(deleted: Deletion) -> str:
    """Who took a batch's files away, when and why."""
    return f"deleted on {rfc3339(deleted.at_ms)[:10]} by {deleted.by}: {deleted.reason}"


def prove_practice(folder: Path, signers: Path | None) -> tuple[BatchProof, Trust]:
    """Prove a rehearsal, which stands on the list of signers that it left beside itself."""
    trust, listed, findings = practice_ground(folder, signers)
    on = _Ground(
        allowed_signers.keys_for(listed, PRACTICE_LINE_NAMESPACE),
        allowed_signers.keys_for(listed, PRACTICE_RECORD_NAMESPACE),
        PRACTICE_LINE_NAMESPACE,
        PRACTICE_RECORD_NAMESPACE,
        "practice",
    )
    proof = _read(folder, on).proof
    if folder.parent.parent.name != LOGS:
        findings.append(Finding("a rehearsal counts only in logs/practice", folder.name))
    return replace(proof, findings=(*findings, *proof.findings)), trust


@dataclass(frozen=True, slots=True)
class _Read:
    """What came of reading a folder.

    Attributes:
        proof: What its own files prove.
        proved: Its journal's lines.
        folded: What they come to; None where they do not fold.
        record: What they are rendered to; None where they have not ended, or do not render.
    """

    proof: BatchProof
    proved: Proof
    folded: Folded | None = None
    record: bytes | None = None


def _read(folder: Path, on: _Ground) -> _Read:
    """Journal, record and signature of a folder."""
    findings: list[Finding] = []
    if folder.is_symlink():
        findings.append(Finding("its folder is a link", folder.name))
    try:
        raw = read_journal(folder)
    except OSError as error:
        missing = Finding(f"it cannot be read: {error.strerror or error}", JOURNAL)
        return _Read(BatchProof(folder.name, "unread", (*findings, missing)), Proof())
    proved = prove(raw, on.line_keys, must_sign=SIGNED_KINDS.__contains__, namespace=on.line_namespace)
    findings += proved.findings
    findings += own_hand(proved)
    findings += times_run_on(proved)
    folded = _folded(raw, proved, findings)
    if folded is None:
        return _Read(BatchProof(folder.name, "unread", tuple(findings)), proved)
    state = folded.state
    findings += _opening(folder, state, on.mode)
    record = _rendered(folded, findings) if state.phase.ended else None
    status = _sealed(folder, state, record, on, findings) if state.phase.ended else _open(folder, findings)
    findings += [
        Finding("no signed line follows it, so nobody stands for it", f"line {number}")
        for number in (proved.uncovered if state.phase.ended else ())
    ]
    proof = BatchProof(folder.name, status, tuple(findings), tuple(_notes(state, proved)))
    return _Read(proof, proved, folded, record)


def _folded(raw: bytes, proved: Proof, findings: list[Finding]) -> Folded | None:
    """The journal folded, as far as all its lines are lines."""
    try:
        return fold_lines(raw, [line for _, line in proved.lines])
    except FoldFault as fault:
        findings.append(Finding(fault.reason, f"line {fault.line}"))
        return None


def _opening(folder: Path, state: BatchState, mode: Mode) -> Iterator[Finding]:
    opened = state.opened
    if opened.batch != folder.name:
        yield Finding(f"it is batch {opened.batch}, in a folder named {folder.name}", "line 1")
    if opened.mode != mode:
        place = f"logs/{PRACTICE}" if mode == "practice" else "production"
        yield Finding(f"a {opened.mode} batch does not count in {place}", "line 1")
    text_hash = hashlib.sha256(opened.procedure_text.encode("utf-8", "surrogatepass")).hexdigest()
    if text_hash != opened.plan.procedure_sha256:
        yield Finding("the procedure's text is not the one that the plan was computed from", "line 1")


def _open(folder: Path, findings: list[Finding]) -> Status:
    findings += [
        Finding("an open batch has no record, and one lies here", name)
        for name in (RECORD, SIGNATURE)
        if (folder / name).is_symlink() or (folder / name).exists()
    ]
    return "open"


def _rendered(folded: Folded, findings: list[Finding]) -> bytes | None:
    """The record that a journal comes to."""
    try:
        return render_folded(folded)
    except ArithmeticError as error:
        findings.append(Finding(f"its figures come to no record: {error}", JOURNAL))
        return None


def _sealed(
    folder: Path, state: BatchState, comes_to: bytes | None, on: _Ground, findings: list[Finding]
) -> Status:
    """Record and signature of a batch that ended."""
    record = _file(folder, RECORD, LONGEST_RECORD, findings)
    signature = _file(folder, SIGNATURE, LONGEST_SIGNATURE, findings)
    if record is None or signature is None:
        return "not sealed"
    if record != comes_to:
        findings.append(Finding("it is not what the journal comes to", RECORD))
    ender = state.ended_by
    assert ender is not None
    try:
        public = sshsig.check(sshsig.unarmour(signature.decode("ascii")), on.record_namespace, record)
    except UnicodeDecodeError:
        findings.append(Finding("it is not ASCII", SIGNATURE))
        return "sealed"
    except sshsig.SignatureFault as fault:
        findings.append(Finding(fault.reason, SIGNATURE))
        return "sealed"
    if public not in on.record_keys.get(ender.id, frozenset()):
        findings.append(Finding(f"it is not by a key of {ender.id}, who ended the batch", SIGNATURE))
    return "sealed"


def _file(folder: Path, name: str, most_bytes: int, findings: list[Finding]) -> bytes | None:
    """The bytes of one of the two files that seal a batch."""
    try:
        return durable.read_whole(folder / name, most_bytes)
    except OSError as error:
        findings.append(Finding(f"it ended and is not sealed: {error.strerror or error}", name))
        return None


def _bound(told: ShopBatch, read: _Read) -> Iterator[Finding]:
    """What the shop's journal says of the batch, against the batch's own."""
    hashes = read.proved.hashes
    if hashes and hashes[0] != told.first:
        yield Finding("it is not the first line that the shop's journal knows", "line 1")
    if set(told.seen) - set(hashes):
        yield Finding("a line that the shop's journal saw is gone: the end was cut off", JOURNAL)
    if read.folded is None:
        return
    state = read.folded.state
    if told.closed is not None and not state.phase.ended:
        yield Finding("the shop's journal says that it ended, and it stands open", JOURNAL)
    elif told.closed is not None and told.abandoned != (state.phase is Phase.ABANDONED):
        yield Finding("the shop's journal says another ending", JOURNAL)
    elif told.closed is None and state.phase.ended:
        yield Finding("it ended, and the shop's journal does not say so yet", JOURNAL)
    if read.record is not None and told.record not in {None, hashlib.sha256(read.record).hexdigest()}:
        yield Finding("the shop's journal names another record", RECORD)


def _notes(state: BatchState, proved: Proof) -> Iterator[str]:
    covered = [number for number in proved.unsigned if number not in proved.uncovered]
    if covered:
        yield f"lines without a signature of their own, covered by the next signed one: {_first(covered)}"
    if proved.uncovered:
        yield f"lines that no signed line follows yet, so nobody stands for them: {_first(proved.uncovered)}"
    if state.clock_steps_s:
        steps = ", ".join(f"{by:+.1f} s" for by in state.clock_steps_s[:20])
        yield f"the wall clock was moved on the way: {steps}"
    if state.tails:
        yield f"torn tails set aside after a crash: {state.tails}"
    if state.owed:
        what = state.owed[0].what
        yield f"the last fact departs from the plan ({what}), and its deviation is not written yet"
    if any(deviation.disposition is None for deviation in state.deviations):
        yield "deviations not settled yet"


def _first(numbers: list[int]) -> str:
    """As many numbers as a note should hold."""
    more = f" and {len(numbers) - 20} more" if len(numbers) > 20 else ""  # noqa: PLR2004 - one terminal line
    return ", ".join(map(str, numbers[:20])) + more
