"""Proving: does a batch's record tell what happened, and was nothing changed since?

Rules of acceptance. A batch proves only if every one of these holds:

- its journal and record are plain files, no links, in a folder of the batch's own name
- every line of the journal is a line: parsing and dumping it gives the same bytes, its numbers are finite
- lines count from 1, and each names the SHA-256 of the line before it
- every signature stands, over the line, in the namespace for lines, by a key that was its person's while
  the batch was open; kinds that must be signed are; a line without a signature is covered by a later one,
  and in the name of who had the batch in hand
- within one boot the uptime runs on, and a step of the wall clock against it has its line
- line 1 opens the batch: its format is known, its plan well formed, and the procedure's text has the hash
  that the plan names
- every event may follow the one before it, by the table of transitions; every fact that departs from the
  plan has its deviation right after it; nothing follows the release or the abandoning
- whoever signed is named as the shop's journal knew them then: id, name, role and key; whoever wrote a
  line might walk a batch then
- where the shop's journal had approved the procedure before the opening, the batch has the text approved last
- where the ledger of a route had begun, a batch that was opened by an operator who was not signed off for it
  is walked with a chargehand's signature at each hold point; the same from where such a one took it in hand
- a batch that ended has a record, and rendering the folded journal gives its bytes again
- the record's signature is one armoured signature and nothing else, by who ended the batch
- an open batch has no record
- the shop's journal proves itself from the owner's first line to its last byte; it knows the batch by the
  hash of its first line, every last line that it saw while others were opened is still in the batch's
  journal, and what it says of the end (open, sealed, abandoned, the record's hash) is so
- the list of signers beside the records holds exactly the keys that the shop's journal knows, each for the
  purposes of production
- where there is no shop's journal, a list of signers is given from outside; what that cannot tell is noted
- every addendum that the shop's journal names is there, with that hash and the signature of who added it,
  about this batch's record, and no other
- a production batch lies in production, and a rehearsal in logs/practice, in its own namespaces
- every batch that the shop's journal knows is there, and none is there that it does not know; one that it
  says an owner deleted is gone, which is noted and no fault

What cannot be found:

- a copy of the whole folder put back as it was at an earlier time, before anything of it was pinned outside;
  and with it whatever one person rewrites of lines of their own, in both journals, after which no line of
  anybody else stands. Pin the owner's fingerprint, and now and then the last hash of the shop's journal
- an untruth that a person signs and that contradicts nothing: a reading, a time, a plan that was not computed
  from the procedure, the wording of a deviation's detail; their name stands under it
- whether the time of a deleted batch was over: the shop's file says how long records are kept, and the owner
  signs that they went
- whether a PIN was fresh, and which of the roles or keys somebody had while a batch was open stood when
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from runner.faults import fault
from runner.record.layout import DELETED, JOURNAL, LOGS, PRACTICE, RECORD, SHOP_JOURNAL, SIGNATURE
from runner.record.progress import Told, untold
from runner.record.reader import Finding
from runner.record.shop_state import ShopState
from runner.record.trust import Trust, ground
from runner.record.verify_batch import BatchProof, prove_batch, prove_practice
from runner.record.verify_many import prove_many


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of proving.

    Attributes:
        trust: What it rests on.
        findings: What does not prove; none means that all of it does.
        batches: The proof of each batch.
    """

    trust: Trust
    findings: tuple[Finding, ...]
    batches: tuple[BatchProof, ...]

    @property
    def ok(self) -> bool:
        """Whether everything proves."""
        return not self.findings

    @property
    def said(self) -> str:
        """The verdict in words."""
        if self.findings:
            return "does not prove"
        if all(proof.status == "open" for proof in self.batches) and self.batches:
            return "open; what is there proves"
        return "proves"


def verify(path: Path, signers: Path | None = None, owner: str | None = None, told: Told = untold) -> Verdict:
    """Prove one batch, or every production batch of a shop.

    Args:
        path: A batch's folder or a file in it; or a shop's folder, or its logs.
        signers: A list of signers kept outside the records.
        owner: Fingerprint of the owner's key, from paper.
        told: Called as batches of a shop are done.

    Raises:
        InputFault: Nothing to prove there, or the list of signers cannot be read.
    """
    logs = _logs(path)
    if logs is not None:
        return _verify_shop(logs, signers, owner, told)
    folder = _batch_folder(path)
    if folder.parent.name == PRACTICE:
        proof, trust = prove_practice(folder, signers)
        return Verdict(trust, proof.findings, (proof,))
    trusted = ground(folder.parent, signers, owner)
    proof = prove_batch(folder, trusted)
    return Verdict(trusted.trust, (*trusted.findings, *proof.findings), (proof,))


def _logs(path: Path) -> Path | None:
    """The folder of logs that a path means, or None where it is a batch."""
    for folder in (path, path / LOGS):
        if os.path.lexists(folder / SHOP_JOURNAL):
            return folder
    return path.parent if path.name == SHOP_JOURNAL else None


def _batch_folder(path: Path) -> Path:
    folder = path if path.is_dir() else path.parent
    if path.is_dir() or path.name in {JOURNAL, RECORD, SIGNATURE}:
        # Names count in the proof, so "." and ".." must become what they stand for; links stay links.
        folder = folder.absolute() if folder.name not in {"", ".", ".."} else folder.resolve()
        if _holds_a_batch(folder):
            return folder
    raise fault("no batch lies here", f"name a batch's folder (it holds {JOURNAL}), or a shop's", str(path))


def _holds_a_batch(folder: Path) -> bool:
    return any(os.path.lexists(folder / name) for name in (JOURNAL, RECORD, SIGNATURE))


def _being_deleted(folder: Path, shop: ShopState | None) -> bool:
    """Whether it is what a deletion that the shop's journal tells of left when it was broken off."""
    told = shop.batches.get(folder.name.removeprefix(DELETED)) if shop else None
    return folder.name.startswith(DELETED) and told is not None and told.deleted is not None


def _verify_shop(logs: Path, signers: Path | None, owner: str | None, told: Told) -> Verdict:
    trusted = ground(logs, signers, owner)
    known = set(trusted.shop.batches) if trusted.shop else set()
    there = sorted(
        entry.name
        for entry in logs.iterdir()
        if entry.name != PRACTICE
        and entry.is_dir()
        and _holds_a_batch(entry)
        and not _being_deleted(entry, trusted.shop)
    )
    findings = list(trusted.findings)
    findings += [
        Finding("a batch that the shop's journal does not know", name)
        for name in there
        if trusted.shop and name not in known
    ]
    proofs = prove_many([logs / name for name in sorted(known.union(there))], trusted, told)
    for proof in proofs:
        findings += [Finding(found.what, f"{proof.batch} {found.where}") for found in proof.findings]
    return Verdict(trusted.trust, tuple(dict.fromkeys(findings)), proofs)
