"""Records and signatures edited, changed over, and brought into other forms."""

from __future__ import annotations

import base64
import hashlib
import shutil
import struct
from collections.abc import Callable

import pytest

from runner.record import sshsig
from runner.record.keys import UnlockedKey
from support.forger import RECORDS, read, stock_says
from support.saying import Found, Made, Proved
from support.works import ABANDONED, DEVIATING, SEALED, UNSIGNED, Works

RECORD, SIGNATURE, JOURNAL = "record.toml", "record.toml.sig", "journal.jsonl"


@pytest.mark.parametrize("name", [JOURNAL, RECORD, SIGNATURE])
def test_a_file_changed_over_with_another_batchs_is_found(works: Works, found: Found, name: str) -> None:
    """Found: journal, record and signature hold each other; a foreign signature stock tools refuse too."""
    shutil.copy(works.batch(DEVIATING) / name, works.batch(SEALED) / name)
    found(works.folder, f"{SEALED} {name if name != JOURNAL else 'line 1'}")
    if name != JOURNAL:
        assert not stock_says(works.batch(SEALED), works.logs / "allowed_signers", "cleo")


def test_record_and_signature_of_another_batch_are_found(works: Works, found: Found) -> None:
    """Found, where stock tools see nothing: the pair is sound, and tells of another batch."""
    for name in (RECORD, SIGNATURE):
        shutil.copy(works.batch(DEVIATING) / name, works.batch(SEALED) / name)
    assert stock_says(works.batch(SEALED), works.logs / "allowed_signers", "cleo")
    found(works.folder, f"{SEALED} {RECORD}", "not what the journal comes to")


EDITS: dict[str, Callable[[bytes], bytes]] = {
    "a figure": lambda record: record.replace(b"charge_ah", b"charge_Ah", 1),
    "a blank at the end": lambda record: record + b"\n",
    "the last byte gone": lambda record: record[:-1],
    "a comment": lambda record: b"# as it was\n" + record,
    "line ends of another system": lambda record: record.replace(b"\n", b"\r\n"),
    "a mark of byte order": lambda record: b"\xef\xbb\xbf" + record,
    "no UTF-8": lambda record: record + b'x = "\xff"\n',
    "nothing": lambda _: b"",
}


@pytest.mark.parametrize("edit", EDITS)
def test_a_record_edited_is_found(works: Works, found: Found, edit: str) -> None:
    """Found, by this program and by stock tools: not a byte of a record can differ."""
    file = works.batch(SEALED) / RECORD
    file.write_bytes(EDITS[edit](file.read_bytes()))
    findings = found(works.folder, f"{SEALED} {RECORD}", "not what the journal comes to")
    assert any(one.where == f"{SEALED} {SIGNATURE}" for one in findings)
    assert not stock_says(works.batch(SEALED), works.logs / "allowed_signers", "cleo")


@pytest.mark.parametrize("who", ["cleo", "otto", "olga"])
def test_a_record_edited_and_signed_again_is_found(
    works: Works, forger: Made, found: Found, who: str
) -> None:
    """Found, were it signed by who ended the batch: the journal comes to other bytes."""
    mighty = forger("cleo", "otto", "olga")
    folder = works.batch(SEALED)
    record = (folder / RECORD).read_bytes().replace(b"amps = 8.0", b"amps = 7.9")
    mighty.sign_record(folder, record, who)
    assert stock_says(folder, works.logs / "allowed_signers", who)
    findings = found(works.folder, f"{SEALED} {RECORD}", "not what the journal comes to")
    assert any("not by a key of cleo" in one.what for one in findings) is (who != "cleo")


def _old_hash(key: UnlockedKey, record: bytes) -> bytes:
    """The same signature over SHA-256, which ssh-keygen can make and takes."""

    def text(data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + data

    middle = text(RECORDS.encode()) + text(b"") + text(b"sha256")
    raw = key._key.sign(b"SSHSIG" + middle + text(hashlib.sha256(record).digest()))
    public = text(b"ssh-ed25519") + text(key.public)
    return b"SSHSIG" + struct.pack(">I", 1) + text(public) + middle + text(text(b"ssh-ed25519") + text(raw))


def _wrapped(text: str, columns: int) -> str:
    head, *rows, end = text.splitlines()
    body = "".join(rows)
    return "\n".join([head, *(body[at : at + columns] for at in range(0, len(body), columns)), end, ""])


SIGNATURES: dict[str, tuple[Callable[[str, UnlockedKey, bytes], str], bool | None]] = {
    "text after it": (lambda sig, _k, _r: sig + "passed by the owner\n", True),
    "text before it": (lambda sig, _k, _r: "passed by the owner\n" + sig, False),
    "another signature after it": (lambda sig, _k, _r: sig + sig, True),
    "wrapped at 64 columns": (lambda sig, _k, _r: _wrapped(sig, 64), True),
    "on one row": (lambda sig, _k, _r: _wrapped(sig, 1000), True),
    "line ends of another system": (lambda sig, _k, _r: sig.replace("\n", "\r\n"), None),
    "over SHA-256": (lambda _s, key, record: sshsig.armour(_old_hash(key, record)), True),
    "for another purpose": (lambda _s, key, record: sshsig.armour(key.sign("file", record)), False),
    "for journal lines": (
        lambda _s, key, record: sshsig.armour(key.sign("journal-line@tankwalk", record)),
        False,
    ),
    "cut short": (lambda sig, _k, _r: sig[:-40], False),
    "no base64": (lambda sig, _k, _r: sig.replace("A", "!", 1), False),
    "nothing": (lambda _s, _k, _r: "", False),
}


@pytest.mark.parametrize("name", SIGNATURES)
def test_a_signature_in_another_form_is_found(works: Works, found: Found, name: str) -> None:
    """Found, also where stock tools take it: one signature has one form here."""
    folder = works.batch(SEALED)
    made, stock = SIGNATURES[name]
    before = (folder / SIGNATURE).read_text("ascii")
    after = made(before, works.people["cleo"].key, (folder / RECORD).read_bytes())
    assert after != before
    (folder / SIGNATURE).write_bytes(after.encode("ascii"))
    found(works.folder, f"{SEALED} {SIGNATURE}")
    taken = stock_says(folder, works.logs / "allowed_signers", "cleo")
    assert stock is None or taken is stock


def test_a_signature_under_another_spelling_of_its_s_is_found(works: Works, found: Found) -> None:
    """Found: by RFC 8032, section 5.1.7, S lies below the group's order, so nobody can make a second one.

    Some releases of ssh-keygen do not look and take it.
    """
    folder = works.batch(SEALED)
    text = (folder / SIGNATURE).read_text("ascii")
    blob = bytearray(base64.b64decode("".join(text.splitlines()[1:-1])))
    order = 2**252 + 27742317777372353535851937790883648493
    scalar = int.from_bytes(blob[-32:], "little") + order
    blob[-32:] = scalar.to_bytes(32, "little")
    (folder / SIGNATURE).write_text(sshsig.armour(bytes(blob)), encoding="ascii")
    found(works.folder, f"{SEALED} {SIGNATURE}", "does not fit the signed bytes")


def test_seal_of_an_abandoned_batch_as_released_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: the shop's journal cannot be made to say another ending than the batch's own."""
    otto = forger("otto", "cleo")
    lines = read(otto.shop)
    otto.rewrite_shop(
        [line._replace(kind="batch-sealed") if line.kind == "batch-abandoned" else line for line in lines]
    )
    found(works.folder, f"{ABANDONED} {JOURNAL}", "says another ending")


def test_unsigned_facts_are_listed_and_no_fault(works: Works, verdict: Proved) -> None:
    """Noted: which lines rest on the signature of a later one."""
    (proof,) = verdict(works.batch(UNSIGNED)).batches
    (note,) = proof.notes
    assert note.startswith("lines without a signature of their own, covered by the next signed one: ")
    assert note.endswith(": 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13")
