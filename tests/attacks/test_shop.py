"""The shop's own journal forged or cut, and the list of signers beside it."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Callable

import pytest

from runner.record.keys import UnlockedKey
from runner.record.lines import Line
from support.forger import Forger, edited, raw_lines, read, signed, told, write
from support.journals import moment
from support.saying import Found, Made, Proved
from support.works import FRESH, OPEN, SEALED, STAFF, Works

SHOP, SIGNERS = "shop.jsonl", "allowed_signers"


def test_every_line_of_the_shops_journal_taken_out_or_changed_is_found(works: Works, found: Found) -> None:
    """Found at the line itself, or at the one after it; taken off the end, by the batch it spoke of."""
    file = works.logs / SHOP
    sound = read(file)
    for at, line in enumerate(sound):
        write(file, sound[:at] + sound[at + 1 :])
        found(works.folder, f"{SHOP} line {at + 1}" if line is not sound[-1] else FRESH)
        write(file, [*sound[:at], line._replace(who="owen"), *sound[at + 1 :]])
        found(works.folder, f"{SHOP} line {min(at + 2, len(sound))}")
        write(file, [*sound[: at + 1], *sound[at:]])
        found(works.folder, f"{SHOP} line {at + 2}")


def test_a_cut_tail_of_the_shops_journal_is_found_by_the_batches(works: Works, found: Found) -> None:
    """Found at every length: a batch is there that it does not know, or ended and it does not say so."""
    file = works.logs / SHOP
    whole = raw_lines(file)
    for kept in range(len(whole)):
        file.write_bytes(b"".join(whole[:kept]))
        found(works.folder)


def test_a_torn_last_line_of_the_shops_journal_is_found(works: Works, found: Found) -> None:
    """Found: a byte spoilt in the last line must not pass for a tail that a crash tore."""
    file = works.logs / SHOP
    whole = file.read_bytes()
    file.write_bytes(whole + b"and more")
    found(works.folder, SHOP, "are no line")
    file.write_bytes(whole + b"{}\n")
    found(works.folder, SHOP, "are no line")


def test_both_journals_cut_back_to_the_same_day_are_not_found(works: Works, verdict: Proved) -> None:
    """Not found: all as it once was. A hash of the shop's last line, kept on paper, shows it."""
    file = works.logs / SHOP
    whole = raw_lines(file)
    file.write_bytes(b"".join(whole[:-1]))
    for part in sorted(works.batch(FRESH).iterdir()):
        part.unlink()
    works.batch(FRESH).rmdir()
    assert verdict(works.folder).ok
    assert hashlib.sha256(whole[-1]).digest() != hashlib.sha256(whole[-2]).digest()


def test_ones_own_last_lines_in_both_journals_rewritten_are_not_found(
    works: Works, forger: Made, verdict: Proved
) -> None:
    """Not found: the operator opened the last batch and nobody wrote after him; he can open it otherwise."""
    otto = forger("otto")
    otto.rewrite(FRESH, [edited(read(otto.journal(FRESH))[0], customer="C-2")])
    otto.fit_shop(FRESH)
    assert verdict(works.folder).ok


def test_ones_own_lines_with_anothers_after_them_rewritten_are_found(
    works: Works, forger: Made, found: Found
) -> None:
    """Found: the chargehand's line about a seal comes after, and names what stood before it."""
    otto = forger("otto")
    lines = read(otto.journal(OPEN))
    otto.rewrite(OPEN, [edited(lines[0], customer="C-2"), *lines[1:]])
    otto.fit_shop(OPEN)
    found(works.folder, SHOP, "its signature does not stand")


def test_everything_rewritten_with_every_key_is_not_found_but_by_the_owners_fingerprint(
    elsewhere: Works, works: Works, verdict: Proved, found: Found
) -> None:
    """Not found on what lies beside it: another shop in place of the whole. The owner's fingerprint tells."""
    pinned = works.people["olga"].key.fingerprint
    assert verdict(elsewhere.folder).ok
    found(elsewhere.folder, SHOP, "not by the owner given", owner=pinned)
    assert verdict(works.folder, owner=pinned).trust == "pinned"
    found(elsewhere.folder, f"{SEALED} line 1", "not a key of otto", signers=works.logs / SIGNERS)


Forged = Callable[[Forger], list[Line]]


def _person(kind: str, works: Works, who: str, by: str, **other: object) -> Line:
    name, role = STAFF.get(who, ("Zoe Invented", "operator"))
    key = works.people[who].key if who in works.people else UnlockedKey.in_memory()
    data = {"id": who, "name": name, "role": role, "key": key.public_line, **other}
    return told(kind, data, works.people[by], moment(5000))


PEOPLE: dict[str, tuple[dict[str, object], str, str, str]] = {
    "a person added by an operator": ({}, "zoe", "otto", "who may not do this"),
    "a person added by the chargehand": ({}, "zoe", "cleo", "who may not do this"),
    "a person added twice": ({}, "otto", "olga", "otto is taken"),
    "a second person of the same key": ({"id": "zoe"}, "otto", "olga", "the key is or was that of otto"),
    "a role of one's own": ({"role": "owner", "active": True}, "otto", "otto", "who may not do this"),
    "the owner's key put by an operator": ({"active": True}, "olga", "otto", "who may not do this"),
    "the last owner gone": ({"active": False}, "olga", "olga", "without an owner"),
    "a role that there is not": ({"role": "master"}, "zoe", "olga", "invalid enum value 'master'"),
    "a name of two lines": ({"name": "Zoe\nInvented"}, "zoe", "olga", "control character"),
    "a key of small order": (
        {"key": "ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIAEAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"},
        "zoe",
        "olga",
        "small order",
    ),
}


@pytest.mark.parametrize("name", PEOPLE)
def test_a_line_about_people_counts_only_from_an_owner_and_in_order(
    works: Works, forger: Made, found: Found, name: str
) -> None:
    """Found at that line, though chain and signature are sound."""
    other, who, by, reason = PEOPLE[name]
    hand = forger(by)
    kind = "person-changed" if "active" in other else "person-added"
    lines = hand.append_shop(_person(kind, works, who, by, **other))
    found(works.folder, f"{SHOP} line {len(lines)}", reason)


def test_a_person_added_in_the_owners_name_with_another_key_is_found(
    works: Works, forger: Made, found: Found
) -> None:
    """Found: the line names the owner, whose key it is not."""
    otto = forger("otto")
    made = otto.append_shop(_person("person-added", works, "zoe", "olga"))
    write(otto.shop, [*made[:-1], signed(made[-1], otto.keys["otto"])])
    found(works.folder, f"{SHOP} line {len(made)}", "with a key that is not that of olga")


def test_a_role_of_the_past_changed_by_the_owner_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: though the owner does it: the lines of others after it follow no more."""
    olga = forger("olga")
    lines = read(olga.shop)
    olga.rewrite_shop(
        [edited(line, role="chargehand") if line.data.get("id") == "otto" else line for line in lines]
    )
    found(works.folder, SHOP, "its signature does not stand")


def test_a_change_of_people_cut_off_the_end_is_not_found(works: Works, forger: Made, verdict: Proved) -> None:
    """Not found: a role withdrawn on the very last line, cut off again before anything else was written."""
    olga = forger("olga")
    before = olga.shop.read_bytes()
    olga.append_shop(_person("person-changed", works, "otto", "olga", active=False))
    assert verdict(works.folder).ok
    olga.shop.write_bytes(before)
    assert verdict(works.folder).ok


OPENED: dict[str, tuple[dict[str, object], str]] = {
    "a batch opened twice": ({"batch": SEALED}, "was opened before"),
    "open batches not named": ({"open": {}}, "does not name the batches that are open"),
    "an ended batch named as open": ({"open": dict.fromkeys([OPEN, FRESH, SEALED], "")}, "does not name the"),
    "a batch that is not there": ({}, "cannot be read"),
    "a name that leads elsewhere": ({"batch": "../../2026-0001"}, "not of its form"),
    "a name of two lines": ({"batch": "2026-0001\n"}, "not of its form"),
    "a hash that is none": ({"first": "0"}, "not of its form"),
    "a key too many": ({"note": ""}, "unknown key"),
}


@pytest.mark.parametrize("name", OPENED)
def test_an_opening_told_by_hand_is_held_to_its_rules(
    works: Works, forger: Made, found: Found, name: str
) -> None:
    """Found, in the shop's journal itself or by the batch that is not there."""
    otto = forger("otto")
    other, reason = OPENED[name]
    data = {"batch": "2026-0007", "first": "0" * 64, "open": {OPEN: "", FRESH: ""}, **other}
    otto.append_shop(told("batch-opened", data, works.people["otto"], moment(5000)))
    found(works.folder, "2026-0007" if reason == "cannot be read" else SHOP, reason)


@pytest.mark.parametrize("kind", ["batch-sealed", "batch-abandoned"])
@pytest.mark.parametrize("batch", [SEALED, OPEN, "2026-0042"])
def test_an_end_told_by_hand_is_found(
    works: Works, forger: Made, found: Found, batch: str, kind: str
) -> None:
    """Found: of a batch that ended before, that stands open, or that was never opened."""
    otto = forger("otto")
    line = told(kind, {"batch": batch, "record": "0" * 64}, works.people["otto"], moment(5000))
    otto.append_shop(line)
    found(works.folder, OPEN if batch == OPEN else SHOP)


DELETED: dict[str, tuple[str, str, dict[str, str], str]] = {
    "by an operator": ("otto", SEALED, {}, "who may not do this"),
    "by the chargehand": ("cleo", SEALED, {}, "who may not do this"),
    "of an open batch": ("olga", OPEN, {}, ""),
    "of another record": ("olga", SEALED, {"record": "0" * 64}, ""),
    "of a batch never opened": ("olga", "2026-0042", {}, ""),
    "without a reason": ("olga", SEALED, {"reason": " "}, "reason: empty"),
}


@pytest.mark.parametrize("name", DELETED)
def test_a_deletion_told_by_hand_is_held_to_its_rules(
    works: Works, forger: Made, found: Found, name: str
) -> None:
    """Found: to take a batch away is the owner's, of one that ended, with its record named."""
    by, batch, other, reason = DELETED[name]
    hand = forger(by)
    record = hashlib.sha256((works.batch(SEALED) / "record.toml").read_bytes()).hexdigest()
    line = told(
        "batch-deleted",
        {"batch": batch, "record": record, "reason": "ten years", **other},
        works.people[by],
        moment(5000),
    )
    lines = hand.append_shop(line)
    shutil.rmtree(works.batch(SEALED))
    found(works.folder, f"{SHOP} line {len(lines)}", reason)


def test_a_batch_told_deleted_that_lies_there_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found, until its files are gone; then the shop's journal still names its record, and who deleted it."""
    olga = forger("olga")
    record = hashlib.sha256((works.batch(SEALED) / "record.toml").read_bytes()).hexdigest()
    data = {"batch": SEALED, "record": record, "reason": "ten years"}
    olga.append_shop(told("batch-deleted", data, works.people["olga"], moment(5000)))
    found(works.folder, f"{SEALED} {SEALED}", "and it lies here")
