"""What was added to a sealed record, taken away, changed, swapped, carried elsewhere, or told by hand."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec import structs

from runner.record import addendum, sshsig
from runner.record.keys import UnlockedKey
from runner.record.session import Session
from runner.record.verify_addenda import head
from support.forger import told
from support.journals import moment
from support.saying import Found, Made, Proved
from support.works import ABANDONED, OPEN, SEALED, STAFF, Works

ONE, TWO = "addendum-1.toml", "addendum-2.toml"
SHOP = "shop.jsonl"


@pytest.fixture
def added(works: Works) -> Works:
    """The shop, with two addenda to one record and one to another."""
    for batch, text in (
        (SEALED, "one piece came back"),
        (SEALED, "it was plated again"),
        (ABANDONED, "called back"),
    ):
        addendum.add(works.logs, batch, text, works.people["cleo"], moment(5000))
    return works


def by_hand(works: Works, batch: str, number: int, who: str, text: str = "all is well") -> bytes:
    """An addendum as the program would write it, signed, and no line about it."""
    record = (works.batch(batch) / "record.toml").read_bytes()
    content = head(batch, number, hashlib.sha256(record).hexdigest()) + f'text = "{text}"\n'.encode()
    put(works, batch, number, content, who)
    return content


def put(
    works: Works, batch: str, number: int, content: bytes, who: str, purpose: str = "batch-addendum@tankwalk"
) -> None:
    """Any bytes as an addendum, signed."""
    file = works.batch(batch) / f"addendum-{number}.toml"
    file.write_bytes(content)
    Path(f"{file}.sig").write_text(sshsig.armour(works.people[who].key.sign(purpose, content)), "ascii")


def _swapped(first: Path, second: Path) -> None:
    one, two = first.read_bytes(), second.read_bytes()
    first.write_bytes(two)
    second.write_bytes(one)


def _changed_over(folder: Path) -> None:
    _swapped(folder / ONE, folder / TWO)
    _swapped(folder / f"{ONE}.sig", folder / f"{TWO}.sig")


def _linked(folder: Path) -> None:
    (folder / ONE).rename(folder / "elsewhere")
    (folder / ONE).symlink_to("elsewhere")


def _carried(folder: Path) -> None:
    for suffix in ("", ".sig"):
        theirs = folder.parent / ABANDONED / f"{ONE}{suffix}"
        (folder / f"{ONE}{suffix}").write_bytes(theirs.read_bytes())


FILES: dict[str, tuple[Callable[[Path], object], str, str]] = {
    "taken away": (lambda folder: (folder / ONE).unlink(), ONE, "cannot be read"),
    "the last taken away": (lambda folder: (folder / TWO).unlink(), TWO, "cannot be read"),
    "its signature taken away": (lambda folder: (folder / f"{ONE}.sig").unlink(), ONE, "cannot be read"),
    "changed": (
        lambda folder: (folder / ONE).write_bytes((folder / ONE).read_bytes().replace(b"one", b"two")),
        ONE,
        "not the addendum that the shop's journal knows",
    ),
    "its signature cut": (
        lambda folder: (folder / f"{ONE}.sig").write_bytes((folder / f"{ONE}.sig").read_bytes()[:90]),
        f"{ONE}.sig",
        "does not stand",
    ),
    "two changed over": (_changed_over, ONE, "not the addendum that the shop's journal knows"),
    "signatures changed over": (
        lambda folder: _swapped(folder / f"{ONE}.sig", folder / f"{TWO}.sig"),
        f"{ONE}.sig",
        "does not stand",
    ),
    "another batch's in its place": (_carried, ONE, "it is not about this batch's record"),
    "a copy under the next number": (
        lambda folder: (folder / "addendum-3.toml").write_bytes((folder / ONE).read_bytes()),
        "addendum-3.toml",
        "does not know",
    ),
    "a copy under a number of its own form": (
        lambda folder: (folder / "addendum-01.toml").write_bytes((folder / ONE).read_bytes()),
        "addendum-01.toml",
        "does not know",
    ),
    "the record in its place": (
        lambda folder: (folder / ONE).write_bytes((folder / "record.toml").read_bytes()),
        ONE,
        "not the addendum",
    ),
    "a link in its place": (_linked, ONE, "cannot be read"),
}


@pytest.mark.parametrize("name", FILES)
def test_an_addendum_spoilt_on_the_disk_is_found(added: Works, found: Found, name: str) -> None:
    """Found: the shop's journal names each by its hash and number, and its signature covers its bytes."""
    spoil, where, what = FILES[name]
    spoil(added.batch(SEALED))
    found(added.folder, f"{SEALED} {where}", what)


def test_sound_addenda_prove(added: Works, verdict: Proved) -> None:
    """What these attacks start from."""
    assert verdict(added.folder).ok


@pytest.mark.parametrize("purpose", ["batch-addendum@tankwalk", "batch-record@tankwalk"])
def test_an_addendum_signed_and_not_told_is_found(works: Works, found: Found, purpose: str) -> None:
    """Found: the chargehand's sound signature under it counts only once the shop's journal names it."""
    put(works, SEALED, 1, by_hand(works, SEALED, 1, "cleo"), "cleo", purpose)
    found(works.folder, f"{SEALED} {ONE}", "does not know")


def test_a_signature_for_records_is_none_for_addenda(added: Works, found: Found) -> None:
    """Found: each purpose has its own."""
    content = (added.batch(SEALED) / ONE).read_bytes()
    put(added, SEALED, 1, content, "cleo", "batch-record@tankwalk")
    found(added.folder, f"{SEALED} {ONE}.sig", "does not stand")


def test_an_addendum_signed_by_another_is_found(added: Works, found: Found) -> None:
    """Found: the same bytes, by the owner's key, which the shop's line does not name."""
    put(added, SEALED, 1, (added.batch(SEALED) / ONE).read_bytes(), "olga")
    found(added.folder, f"{SEALED} {ONE}.sig", "not signed by cleo, who added it")


def test_an_addendum_signed_with_a_key_that_ended_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: the same bytes under the chargehand's old key, which had ended when the shop's journal told."""
    old, fresh = works.people["cleo"].key, UnlockedKey.in_memory()
    olga = forger("olga")
    name, role = STAFF["cleo"]
    data = {"id": "cleo", "name": name, "role": role, "key": fresh.public_line, "active": True}
    olga.append_shop(told("person-changed", data, works.people["olga"], moment(4000)))
    with (works.logs / "allowed_signers").open("a", encoding="ascii") as listed:
        purposes = "batch-addendum@tankwalk,batch-record@tankwalk,journal-line@tankwalk"
        listed.write(f'cleo namespaces="{purposes}" {fresh.public_line}\n')
    person = structs.replace(works.people["cleo"].person, key=fresh.fingerprint)
    works.people["cleo"] = Session(person, fresh)
    path = addendum.add(works.logs, SEALED, "one piece came back", works.people["cleo"], moment(5000))
    blob = old.sign("batch-addendum@tankwalk", path.read_bytes())
    Path(f"{path}.sig").write_text(sshsig.armour(blob), "ascii")
    found(works.folder, f"{SEALED} {ONE}.sig", "not signed by cleo, who added it")


TOLD: dict[str, tuple[str, str, int, str]] = {
    "by an operator": ("otto", SEALED, 1, "who may not do this"),
    "by a trainee": ("tess", SEALED, 1, "who may not do this"),
    "under a number to come": ("cleo", SEALED, 2, "comes where 1 is next"),
    "under number nought": ("cleo", SEALED, 0, ""),
    "of an open batch": ("cleo", OPEN, 1, "has no record that could be added to"),
    "of a batch never opened": ("cleo", "2026-0042", 1, "has no record that could be added to"),
}


@pytest.mark.parametrize("name", TOLD)
def test_an_addendum_told_by_hand_is_held_to_its_rules(
    works: Works, forger: Made, found: Found, name: str
) -> None:
    """Found in the shop's journal, though chain and signature are sound."""
    who, batch, number, reason = TOLD[name]
    hand = forger(who)
    data = {"batch": batch, "number": number, "sha256": "0" * 64}
    lines = hand.append_shop(told("addendum-signed", data, works.people[who], moment(5000)))
    found(works.folder, f"{SHOP} line {len(lines)}", reason)


def test_an_addendum_about_another_record_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found, though the chargehand tells and signs all of it: it names another batch's record."""
    cleo = forger("cleo")
    content = by_hand(works, ABANDONED, 1, "cleo")
    (works.batch(ABANDONED) / ONE).rename(works.batch(SEALED) / ONE)
    (works.batch(ABANDONED) / f"{ONE}.sig").rename(works.batch(SEALED) / f"{ONE}.sig")
    data = {"batch": SEALED, "number": 1, "sha256": hashlib.sha256(content).hexdigest()}
    cleo.append_shop(told("addendum-signed", data, works.people["cleo"], moment(5000)))
    found(works.folder, f"{SEALED} {ONE}", "it is not about this batch's record")


def test_an_addendum_of_another_shop_is_found(works: Works, elsewhere: Works, found: Found) -> None:
    """Found: a batch of the same number, people of the same names, other keys and another record."""
    addendum.add(works.logs, SEALED, "ours", works.people["cleo"], moment(5000))
    addendum.add(elsewhere.logs, SEALED, "theirs", elsewhere.people["cleo"], moment(5000))
    for name in (ONE, f"{ONE}.sig"):
        (works.batch(SEALED) / name).write_bytes((elsewhere.batch(SEALED) / name).read_bytes())
    found(works.folder, f"{SEALED} {ONE}.sig", "not signed by cleo")
    found(works.folder, f"{SEALED} {ONE}", "it is not about this batch's record")


def test_the_last_addendum_taken_off_both_places_is_not_found(added: Works, verdict: Proved) -> None:
    """Not found: its file and the shop's last line about it, before anybody wrote after it."""
    raw = (added.logs / SHOP).read_bytes().splitlines(keepends=True)
    (added.logs / SHOP).write_bytes(b"".join(raw[:-1]))
    for name in (ONE, f"{ONE}.sig"):
        (added.batch(ABANDONED) / name).unlink()
    assert verdict(added.folder).ok
