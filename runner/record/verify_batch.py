"""Proving one batch: its journal, its record, and what the shop's journal says of it.

Owns the checks of a single batch's folder; the list of rules stands in `verify`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from runner.batch.events import SIGNED_KINDS, Mode, Person
from runner.batch.state import BatchState, Phase
from runner.plain_data import DataFault, from_data
from runner.record import allowed_signers, durable, sshsig
from runner.record.fold import Folded, FoldFault, fold_lines
from runner.record.layout import (
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
from runner.record.lines import line_hash
from runner.record.reader import Finding, Proof, prove
from runner.record.reading import read_journal
from runner.record.render import render_folded
from runner.record.shop_state import ShopBatch
from runner.record.trust import Trust, Trusted, practice_ground

LONGEST_RECORD = 64 * 1024 * 1024

Status = Literal["sealed", "open", "not sealed", "unread"]


@dataclass(frozen=True, slots=True)
class BatchProof:
    """What came of proving one batch.

    Attributes:
        batch: Its name, by its folder.
        status: Sealed, open, ended but not sealed, or not to be read.
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
    on = _Ground(
        trusted.line_keys(folder.name),
        trusted.record_keys(folder.name),
        LINE_NAMESPACE,
        RECORD_NAMESPACE,
        "production",
    )
    told = trusted.shop.batches.get(folder.name) if trusted.shop else None
    proof, proved, folded = _prove(folder, on)
    findings = list(proof.findings)
    if trusted.shop is not None:
        if told is None:
            findings.append(Finding("the shop's journal does not know this batch", folder.name))
        else:
            findings += _bound(told, proved, folded)
            findings += _named(trusted, folder.name, proved)
    return replace(proof, findings=tuple(findings))


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
    proof, _, _ = _prove(folder, on)
    if folder.parent.parent.name != LOGS:
        findings.append(Finding("a rehearsal counts only in logs/practice", folder.name))
    return replace(proof, findings=(*findings, *proof.findings)), trust


def _prove(folder: Path, on: _Ground) -> tuple[BatchProof, Proof, Folded | None]:
    """Journal, record and signature of a folder."""
    findings: list[Finding] = []
    if folder.is_symlink():
        findings.append(Finding("its folder is a link", folder.name))
    try:
        raw = read_journal(folder)
    except OSError as error:
        missing = Finding(f"it cannot be read: {error.strerror or error}", JOURNAL)
        return BatchProof(folder.name, "unread", (*findings, missing)), Proof(), None
    proved = prove(raw, on.line_keys, must_sign=SIGNED_KINDS.__contains__, namespace=on.line_namespace)
    findings += proved.findings
    folded = _folded(raw, proved, findings)
    if folded is None:
        return BatchProof(folder.name, "unread", tuple(findings)), proved, None
    state = folded.state
    findings += _opening(folder, state, on.mode)
    status = _sealed(folder, folded, on, findings) if state.phase.ended else _open(folder, findings)
    findings += [
        Finding("no signed line follows it, so nobody stands for it", f"line {number}")
        for number in (proved.uncovered if state.phase.ended else ())
    ]
    return BatchProof(folder.name, status, tuple(findings), tuple(_notes(state, proved))), proved, folded


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


def _sealed(folder: Path, folded: Folded, on: _Ground, findings: list[Finding]) -> Status:
    """Record and signature of a batch that ended."""
    try:
        record = durable.read_whole(folder / RECORD, LONGEST_RECORD)
        signature = durable.read_whole(folder / SIGNATURE, LONGEST_RECORD)
    except OSError as error:
        name = Path(error.filename).name if error.filename else RECORD
        findings.append(Finding(f"it ended and is not sealed: {error.strerror or error}", name))
        return "not sealed"
    if record != render_folded(folded):
        findings.append(Finding("it is not what the journal comes to", RECORD))
    ender = folded.state.ended_by
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


def _bound(told: ShopBatch, proved: Proof, folded: Folded | None) -> Iterator[Finding]:
    """What the shop's journal says of the batch, against the batch's own."""
    hashes = [line_hash(raw) for raw, _ in proved.lines]
    if hashes and hashes[0] != told.first:
        yield Finding("it is not the first line that the shop's journal knows", "line 1")
    for seen in told.seen:
        if seen not in hashes:
            yield Finding("a line that the shop's journal saw is gone: the end was cut off", JOURNAL)
    if folded is None:
        return
    state = folded.state
    if told.closed is not None and not state.phase.ended:
        yield Finding("the shop's journal says that it ended, and it stands open", JOURNAL)
    elif told.closed is not None and told.abandoned != (state.phase is Phase.ABANDONED):
        yield Finding("the shop's journal says another ending", JOURNAL)
    elif told.closed is None and state.phase.ended:
        yield Finding("it ended, and the shop's journal does not say so yet", JOURNAL)
    if told.record is not None and told.record != hashlib.sha256(render_folded(folded)).hexdigest():
        yield Finding("the shop's journal names another record", RECORD)


def _named(trusted: Trusted, batch: str, proved: Proof) -> Iterator[Finding]:
    """Whoever a line names must be named as the shop's journal knew them while the batch was open."""
    assert trusted.shop is not None
    for number, (_, line) in enumerate(proved.lines, start=1):
        if "by" not in line.data:
            continue
        try:
            by = from_data(Person, line.data["by"])
        except DataFault:
            continue  # the fold says so already
        if by.id != line.who:
            yield Finding(f"it names {by.id} and is signed by {line.who}", f"line {number}")
        known = {
            (sshsig.fingerprint(held.public), held.name, held.role)
            for held in trusted.shop.held(batch, by.id)
        }
        if (by.key, by.name, by.role) not in known:
            yield Finding(f"{by.id} is named otherwise than the shop's journal knew them", f"line {number}")


def _notes(state: BatchState, proved: Proof) -> Iterator[str]:
    if proved.unsigned:
        lines = ", ".join(map(str, proved.unsigned[:20]))
        yield f"lines without a signature of their own, covered by the next signed one: {lines}"
    if state.clock_steps_s:
        steps = ", ".join(f"{by:+.1f} s" for by in state.clock_steps_s[:20])
        yield f"the wall clock was moved on the way: {steps}"
    if state.tails:
        yield f"torn tails set aside after a crash: {state.tails}"
    if any(deviation.disposition is None for deviation in state.deviations):
        yield "deviations not settled yet"
