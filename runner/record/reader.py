"""Do the lines of a journal follow from each other, and did the people named sign them?

Owns the proof of a journal's bytes, line by line. Must not know what the lines tell, touch the disk, or stop
at the first fault: an auditor wants all of them.

Found here:

- a line that is no line, or whose bytes are not the ones that writing it again gives
- a line that was taken out, put in, moved or changed: its number or the hash it names does not fit
- a journal that does not end in a newline, or holds nothing, or more lines than any walk comes to
- a signature that does not stand, is by a key that is not that person's, or by a person not listed
- a line without a signature, of a kind that must have one

A line without a signature is covered by the next signed line, which names its hash through the chain. Such
lines are listed, and those that nothing covers are listed apart: their content rests on no key.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from runner.record import sshsig
from runner.record.layout import LINE_NAMESPACE
from runner.record.lines import (
    GENESIS,
    MOST_LINES,
    Line,
    LineFault,
    line_hash,
    parse,
    raw_lines,
    signed_bytes,
)
from runner.record.sshsig import Claim

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from collections.abc import Set as AbstractSet


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that does not prove.

    Attributes:
        what: What is wrong, without a full stop.
        where: Where, such as ``line 17``.
    """

    what: str
    where: str


@dataclass(slots=True)
class Proof:
    """What came of reading a journal.

    Attributes:
        lines: Every line that could be read, with its bytes.
        hashes: The hash of each of them.
        keys: The public key whose signature stands under each of them, or None.
        findings: What is wrong, in the order of the lines.
        unsigned: Numbers (places in the file, from 1) of lines that have no signature.
        uncovered: Those of them after which no signed line comes that stands.
    """

    lines: list[tuple[bytes, Line]] = field(default_factory=list)
    hashes: list[str] = field(default_factory=list)
    keys: list[bytes | None] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    unsigned: list[int] = field(default_factory=list)
    uncovered: list[int] = field(default_factory=list)


def read_lines(content: bytes) -> list[tuple[bytes, Line]]:
    """The lines of a journal with their bytes, without a proof.

    Raises:
        LineFault: A line is none, or the last one has no newline; the reason names the line.
    """
    raws, rest = raw_lines(content)
    read: list[tuple[bytes, Line]] = []
    for number, raw in enumerate([*raws, rest] if rest else raws, start=1):
        try:
            read.append((raw, parse(raw)))
        except LineFault as fault:
            raise LineFault(f"line {number}: {fault.reason}") from fault
    return read


def prove(
    content: bytes,
    keys: Mapping[str, AbstractSet[bytes]],
    *,
    must_sign: Callable[[str], bool],
    namespace: str = LINE_NAMESPACE,
) -> Proof:
    """Read a journal and prove what can be proved of it.

    Args:
        content: Its bytes.
        keys: For each person the raw public keys that were theirs while it was written.
        must_sign: Whether lines of a kind must be signed.
        namespace: What the signatures must be good for.
    """
    proof = Proof()
    if content.count(b"\n") > MOST_LINES:
        proof.findings.append(Finding(f"more than {MOST_LINES} lines, which no walk comes to", "line 1"))
        return proof
    raws, rest = raw_lines(content)
    prev, since_signed = GENESIS, []
    # One thing is done for all lines before the next: in turns they drive each other out of the caches.
    parsed = [_parsed(raw) for raw in raws]
    claims = [_claimed(raw, line, namespace) for raw, line in zip(raws, parsed, strict=True)]
    stood = [claim if isinstance(claim, str) or claim.stands() else sshsig.UNFIT for claim in claims]
    for number, (raw, line, claim) in enumerate(zip(raws, parsed, stood, strict=True), start=1):
        if isinstance(line, LineFault):
            proof.findings.append(Finding(f"no line of a journal: {line.reason}", f"line {number}"))
            prev = line_hash(raw)
            continue
        wrong = [] if line.seq == number and line.prev == prev else _place_faults(line, number, prev)
        public = None
        if line.sig is None:
            proof.unsigned.append(number)
            since_signed.append(number)
            if must_sign(line.kind):
                wrong.append(f"not signed, as a line of kind {line.kind} must be")
        else:
            public, fault_found = _signed_with(line, claim, keys)
            if fault_found is None:
                since_signed.clear()
            else:
                wrong.append(fault_found)
        if wrong:
            proof.findings += [Finding(what, f"line {number}") for what in wrong]
        prev = line_hash(raw)
        proof.lines.append((raw, line))
        proof.hashes.append(prev)
        proof.keys.append(public)
    proof.uncovered = since_signed
    if rest:
        proof.findings.append(Finding("it does not end in a newline: a torn line", f"line {len(raws) + 1}"))
    if not raws:
        proof.findings.append(Finding("the journal holds no whole line", "line 1"))
    return proof


def _parsed(raw: bytes) -> Line | LineFault:
    try:
        return parse(raw)
    except LineFault as fault:
        return fault


def _place_faults(line: Line, number: int, prev: str) -> list[str]:
    wrong = []
    if line.seq != number:
        wrong.append(f"it says that it is line {line.seq}")
    if line.prev != prev:
        wrong.append("it does not follow from the line before it: something was changed, taken out or put in")
    return wrong


def _claimed(raw: bytes, line: Line | LineFault, namespace: str) -> Claim | str:
    """What a line's signature claims, or why it claims nothing."""
    if isinstance(line, LineFault) or line.sig is None:
        return "there is none"
    try:
        return sshsig.claimed(sshsig.decode64(line.sig), namespace, signed_bytes(raw, line))
    except sshsig.SignatureFault as fault:
        return fault.reason


def _signed_with(
    line: Line, claim: Claim | str, keys: Mapping[str, AbstractSet[bytes]]
) -> tuple[bytes | None, str | None]:
    """The key whose signature stands under a line, and what is wrong with that, if anything."""
    if isinstance(claim, str):
        return None, f"its signature does not stand: {claim}"
    public = claim.public
    if line.who not in keys:
        return public, f"signed as {line.who or 'nobody'}, who is not among the signers"
    if public in keys[line.who]:
        return public, None
    return public, f"signed with {sshsig.fingerprint(public)}, which is not a key of {line.who}"
