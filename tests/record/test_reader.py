"""A forger's tries at a journal, each found and named with its line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from runner.record.lines import GENESIS, Line, LineFault, dump, line_hash, parse, unsigned_bytes
from runner.record.reader import Finding, Proof, prove, read_lines
from runner.record.sshsig import fingerprint
from support.journals import moment, public, signer

if TYPE_CHECKING:
    from collections.abc import Callable

KEYS = {"op-1": {public(1), public(11)}, "op-2": {public(2)}}


def chained(*wanted: tuple[str, int | None]) -> bytes:
    """A sound journal: for each line who wrote it, and the number of the key that signed it."""
    raws: list[bytes] = []
    for seq, (who, number) in enumerate(wanted, start=1):
        prev = line_hash(raws[-1]) if raws else GENESIS
        line = Line(seq, moment(seq), "noted", {"text": f"µm {seq}"}, who, prev)
        if number is not None:
            line = line._replace(sig=signer(number).sign(unsigned_bytes(line)))
        raws.append(dump(line))
    return b"".join(raws)


SOUND = chained(("op-1", 1), ("op-1", None), ("op-2", 2), ("op-1", 11))


def proved(content: bytes, must_sign: Callable[[str], bool] = lambda _: False) -> Proof:
    """The proof of a journal under the keys above."""
    return prove(content, KEYS, must_sign=must_sign)


def raws(content: bytes = SOUND) -> list[bytes]:
    """Lines with their newlines."""
    return content.splitlines(keepends=True)


def test_a_sound_journal_proves() -> None:
    """Every line stands, an unsigned one is listed, and the signed ones after it cover it."""
    proof = proved(SOUND)
    assert proof.findings == []
    assert [raw for raw, _ in proof.lines] == raws()
    assert [line for _, line in proof.lines] == [parse(raw) for raw in raws()]
    assert (proof.unsigned, proof.uncovered) == ([2], [])
    assert read_lines(SOUND) == proof.lines


def test_lines_after_the_last_signature_rest_on_no_key() -> None:
    """Unsigned lines at the end are covered by nothing, and are listed as that."""
    proof = proved(chained(("op-1", None), ("op-1", 1), ("op-1", None), ("", None)))
    assert proof.findings == []
    assert (proof.unsigned, proof.uncovered) == ([1, 3, 4], [3, 4])


def test_a_signature_that_does_not_stand_covers_nothing() -> None:
    """A line before a bad signature counts as uncovered."""
    proof = proved(chained(("op-1", None), ("op-1", 2)))
    assert proof.uncovered == [1]
    assert [finding.where for finding in proof.findings] == ["line 2"]


def test_every_flipped_bit_is_found() -> None:
    """Whichever bit of a journal is flipped, its last line being signed, something is found."""
    content = chained(("op-1", None), ("op-1", 1))
    for bit in range(len(content) * 8):
        changed = bytearray(content)
        changed[bit // 8] ^= 1 << bit % 8
        assert proved(bytes(changed)).findings, f"bit {bit}"


def test_every_cut_is_found_or_is_a_shorter_journal() -> None:
    """A journal cut at any byte is a sound shorter one, or the cut line is named."""
    ends = [0]
    for raw in raws():
        ends.append(ends[-1] + len(raw))
    for cut in range(len(SOUND)):
        proof = proved(SOUND[:cut])
        assert b"".join(raw for raw, _ in proof.lines) == SOUND[: max(end for end in ends if end <= cut)]
        if cut in ends and cut:
            assert proof.findings == []
        else:
            assert proof.findings[0].where == f"line {len(proof.lines) + 1}"


def resealed(line: Line, **changes: object) -> bytes:
    """A line changed, and signed anew with the right person's key."""
    bare = line._replace(sig=None, **changes)  # type: ignore[arg-type]  # each test names a real field
    return dump(bare._replace(sig=signer(1).sign(unsigned_bytes(bare))))


FIRST, SECOND, THIRD, FOURTH = raws()
LAST = parse(FOURTH)
ELSEWHERE = signer(1, "batch-record@tankwalk").sign(unsigned_bytes(LAST._replace(sig=None)))
CHAIN = "it does not follow from the line before it: something was changed, taken out or put in"
UNFIT = "its signature does not stand: it does not fit the signed bytes"
FORGED: dict[str, tuple[bytes, list[tuple[int, str]]]] = {
    "the first line taken out": (
        SECOND + THIRD + FOURTH,
        [
            (1, "it says that it is line 2"),
            (1, CHAIN),
            (2, "it says that it is line 3"),
            (3, "it says that it is line 4"),
        ],
    ),
    "an unsigned line changed": (FIRST + SECOND.replace(b"m 2", b"m 3") + THIRD + FOURTH, [(3, CHAIN)]),
    "an unsigned line broken": (
        FIRST + SECOND.replace(b'"who"', b'"hwo"') + THIRD + FOURTH,
        [(2, "no line of a journal: who is no text"), (3, CHAIN)],
    ),
    "a signed line changed": (FIRST + SECOND + THIRD + FOURTH.replace(b"m 4", b"m 5"), [(4, UNFIT)]),
    "another line's signature": (
        FIRST + SECOND + THIRD + dump(LAST._replace(sig=parse(FIRST).sig)),
        [(4, UNFIT)],
    ),
    "a signature for another purpose": (
        FIRST + SECOND + THIRD + dump(LAST._replace(sig=ELSEWHERE)),
        [(4, "its signature does not stand: its namespace is not journal-line@tankwalk")],
    ),
    "another person's name": (
        FIRST + SECOND + THIRD + resealed(LAST, who="op-2"),
        [(4, f"signed with {fingerprint(public(1))}, which is not a key of op-2")],
    ),
    "somebody who is not listed": (
        FIRST + SECOND + THIRD + resealed(LAST, who="op-9"),
        [(4, "signed as op-9, who is not among the signers")],
    ),
    "nobody": (
        FIRST + SECOND + THIRD + resealed(LAST, who=""),
        [(4, "signed as nobody, who is not among the signers")],
    ),
    "a number skipped": (FIRST + SECOND + THIRD + resealed(LAST, seq=5), [(4, "it says that it is line 5")]),
    "a torn end": (SOUND[:-1], [(4, "it does not end in a newline: a torn line")]),
    "nothing": (b"", [(1, "the journal holds no whole line")]),
}


@pytest.mark.parametrize("name", FORGED)
def test_each_forgery_is_found_and_named_with_its_line(name: str) -> None:
    """What was done to the journal is found, all of it and nothing else, at the lines where it shows."""
    content, found = FORGED[name]
    assert proved(content).findings == [Finding(what, f"line {number}") for number, what in found]


def test_a_kind_that_must_be_signed_is_found_without_a_signature() -> None:
    """Some facts count only under a key; which, the caller says."""
    proof = proved(SOUND, must_sign=lambda kind: kind == "noted")
    assert proof.findings == [Finding("not signed, as a line of kind noted must be", "line 2")]


def test_the_whole_journal_exchanged_for_one_of_another_s_making_is_found() -> None:
    """A journal forged from its first line on, chain and all, fails on its keys."""
    forged = chained(("op-1", 3), ("op-1", 3))
    assert [finding.where for finding in proved(forged).findings] == ["line 1", "line 2"]


@pytest.mark.parametrize(("content", "where"), [(FIRST + b"{}\n", "line 2"), (SOUND[:-1], "line 4")])
def test_reading_without_a_proof_names_the_line_that_is_none(content: bytes, where: str) -> None:
    """A reader that needs every line is told which one is broken."""
    with pytest.raises(LineFault, match=where):
        read_lines(content)
