"""Keys that ended, keys put back in time, formats put back to an older one, and lines of another shop."""

from __future__ import annotations

from dataclasses import replace

import pytest

from runner.record.keys import UnlockedKey
from runner.record.lines import Line
from support.forger import chained, edited, named, read, told, write
from support.journals import moment
from support.saying import Found, Made, Proved
from support.works import DEVIATING, FRESH, OPEN, SEALED, STAFF, Works

SHOP = "shop.jsonl"


def changed(works: Works, who: str, at_s: float = 5000, key: UnlockedKey | None = None) -> Line:
    """The owner's line that gives somebody another key, or takes theirs away where there is none."""
    name, role = STAFF[who]
    public = (key or works.people[who].key).public_line
    data = {"id": who, "name": name, "role": role, "key": public, "active": key is not None}
    return told("person-changed", data, works.people["olga"], moment(at_s))


def end_key(works: Works, forger: Made, who: str) -> None:
    """The owner ends a key, and the list of signers follows."""
    olga = forger("olga")
    olga.append_shop(changed(works, who))


def test_facts_signed_with_a_key_that_ended_are_found_where_others_wrote_since(
    works: Works, forger: Made, found: Found
) -> None:
    """Found: a batch opened after the key ended knows it no more."""
    end_key(works, forger, "otto")
    owen = forger("owen", "otto")
    batch = owen.open_one_more("owen", by=named(works.people["owen"]))
    note = {"step": 0, "text": "all is well"}
    owen.by_hand(batch, "otto", ("note-written", note, 5))
    found(works.folder, f"{batch} line 2", "otto")


@pytest.mark.parametrize("kind", ["batch-sealed", "batch-opened", "pin-refused"])
def test_a_line_of_the_shop_signed_with_a_key_that_ended_is_found(
    works: Works, forger: Made, found: Found, kind: str
) -> None:
    """Found: the order of the shop's journal decides, whatever time the line names."""
    end_key(works, forger, "otto")
    otto = forger("otto")
    data: dict[str, dict[str, object]] = {
        "batch-sealed": {"batch": OPEN, "record": "0" * 64},
        "batch-opened": {"batch": "2026-0007", "first": "0" * 64, "open": {OPEN: "", FRESH: ""}},
        "pin-refused": {"id": "otto", "times": 1},
    }
    early = told(kind, data[kind], works.people["otto"], moment(1))
    lines = otto.append_shop(early)
    found(works.folder, f"{SHOP} line {len(lines)}", "does not work here")


def test_a_line_put_before_the_one_that_ended_the_key_is_found(
    works: Works, forger: Made, found: Found
) -> None:
    """Found: back-dated in the order too, it comes under the owner's line, which names what stood before."""
    end_key(works, forger, "otto")
    otto = forger("otto")
    lines = read(otto.shop)
    early = told("pin-refused", {"id": "otto", "times": 1}, works.people["otto"], moment(1))
    otto.rewrite_shop([*lines[:-1], early, lines[-1]])
    found(works.folder, f"{SHOP} line {len(lines) + 1}", "does not stand")


def test_a_key_given_back_in_time_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: a key of today told as of the first day moves every line of others after it."""
    olga = forger("olga")
    lines = read(olga.shop)
    fresh = UnlockedKey.in_memory()
    olga.rewrite_shop([*lines[:5], changed(works, "cleo", 0, fresh), *lines[5:]])
    found(works.folder, SHOP, "its signature does not stand")


def test_a_record_sealed_anew_with_a_key_of_later_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: the chargehand's next key was not hers while the batch was open."""
    fresh = UnlockedKey.in_memory()
    olga = forger("olga")
    olga.append_shop(changed(works, "cleo", 5000, fresh))
    works.people["cleo"] = replace(works.people["cleo"], key=fresh)
    olga.sign_record(works.batch(SEALED), (works.batch(SEALED) / "record.toml").read_bytes(), "cleo")
    found(works.folder, f"{SEALED} record.toml.sig", "cleo")


@pytest.mark.parametrize("batch", [SEALED, DEVIATING])
@pytest.mark.parametrize("to", [0, 2, -1, 1.0, "1", True, None])
def test_a_format_put_down_or_up_is_found(
    works: Works, forger: Made, found: Found, batch: str, to: object
) -> None:
    """Found, though the opener chains and signs all that his key can: no format but those known is read."""
    otto = forger("otto", "cleo")
    lines = read(otto.journal(batch))
    otto.rewrite(batch, [edited(lines[0], format=to), *lines[1:]])
    otto.reseal(batch, "cleo")
    otto.fit_shop(batch)
    found(works.folder, f"{batch} line 1", "format")


def test_a_record_of_another_format_over_the_same_journal_is_found(
    works: Works, forger: Made, found: Found
) -> None:
    """Found: the record's layout is the one that line 1 names."""
    cleo = forger("cleo")
    record = (works.batch(SEALED) / "record.toml").read_bytes()
    assert record.startswith(b"format = 1\n")
    cleo.sign_record(works.batch(SEALED), record.replace(b"format = 1\n", b"format = 0\n", 1), "cleo")
    found(works.folder, f"{SEALED} record.toml", "")


def test_lines_of_another_shops_journal_are_found(works: Works, elsewhere: Works, found: Found) -> None:
    """Found at the first of them, wherever they are put in: other keys stand under the same names."""
    ours, theirs = read(works.logs / SHOP), read(elsewhere.logs / SHOP)
    for at in range(len(STAFF), len(ours)):
        write(works.logs / SHOP, chained([*ours[:at], *theirs[at:]]))
        found(works.folder, f"{SHOP} line {at + 1}", "sign")
    write(works.logs / SHOP, ours)


def test_lines_of_another_shops_batch_are_found(works: Works, elsewhere: Works, found: Found) -> None:
    """Found at the first of them, in a batch of the same number and length."""
    file = works.batch(SEALED) / "journal.jsonl"
    ours, theirs = read(file), read(elsewhere.batch(SEALED) / "journal.jsonl")
    for at in (1, len(ours) // 2, len(ours) - 1):
        write(file, chained([*ours[:at], *theirs[at:]]))
        found(works.folder, f"{SEALED} line {at + 1}", "sign")
    write(file, ours)


def test_another_shops_journal_in_place_of_ours_is_found(
    works: Works, elsewhere: Works, found: Found
) -> None:
    """Found: it knows other first lines and records; and it was begun by another owner."""
    (works.logs / SHOP).write_bytes((elsewhere.logs / SHOP).read_bytes())
    found(works.folder, f"{SEALED} line 1", "not the first line that the shop's journal knows")
    found(works.folder, SHOP, "not by the owner given", owner=works.people["olga"].key.fingerprint)


def test_a_note_of_a_key_that_counts_still_proves(works: Works, forger: Made, verdict: Proved) -> None:
    """The nearest thing that is no attack: the same note, by the same hand, while the key is theirs."""
    forger("otto").by_hand(FRESH, "otto", ("note-written", {"step": 0, "text": "all is well"}, 5))
    assert verdict(works.folder).ok
