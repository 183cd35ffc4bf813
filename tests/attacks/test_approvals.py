"""Procedures under control, and wrong PINs told: lines of the shop's journal written or taken out by hand."""

from __future__ import annotations

import pytest

from runner.record import approval
from runner.record.lines import Line
from support.forger import read, told
from support.journals import moment
from support.saying import Found, Made, Proved
from support.works import SEALED, Works

SHOP = "shop.jsonl"


def approve(works: Works, revision: str = "A", sha256: str = "") -> None:
    """A text of the route is approved; the one that the batches have, where none is given."""
    text = sha256 or str(read(works.batch(SEALED) / "journal.jsonl")[0].data["plan"]["procedure_sha256"])
    approval.approve(
        works.logs, "route.toml", "Dip and nickel", revision, text, works.people["cleo"], moment(5000)
    )


def line(works: Works, who: str, revision: str, sha256: str, file: str = "route.toml") -> Line:
    """A line that approves, as somebody writes it by hand."""
    data = {"file": file, "title": "Dip and nickel", "revision": revision, "sha256": sha256}
    return told("procedure-approved", data, works.people[who], moment(6000))


TOLD: dict[str, tuple[str, str, str, str]] = {
    "by an operator": ("otto", "B", "1" * 64, "who may not do this"),
    "by a trainee": ("tess", "B", "1" * 64, "who may not do this"),
    "the same text again": ("cleo", "B", "0" * 64, "is approved as it is"),
    "another text under the same revision": ("cleo", "A", "1" * 64, "was approved with another text"),
    "a hash that is none": ("cleo", "B", "0", "not of its form"),
    "a revision of two lines": ("cleo", "B\n", "1" * 64, "control character"),
}


@pytest.mark.parametrize("name", TOLD)
def test_an_approval_told_by_hand_is_held_to_its_rules(
    works: Works, forger: Made, found: Found, name: str
) -> None:
    """Found at that line, though chain and signature are sound."""
    who, revision, sha256, reason = TOLD[name]
    approve(works, "A", "0" * 64)
    hand = forger(who)
    lines = hand.append_shop(line(works, who, revision, sha256))
    found(works.folder, f"{SHOP} line {len(lines)}", reason)


def test_an_old_revision_cannot_be_made_the_newest_again(works: Works, forger: Made, found: Found) -> None:
    """Found: a revision once used for a text is never approved again, were it with that very text."""
    approve(works, "A", "0" * 64)
    approve(works, "B", "1" * 64)
    hand = forger("cleo")
    lines = hand.append_shop(line(works, "cleo", "A", "0" * 64))
    found(works.folder, f"{SHOP} line {len(lines)}", "was approved with another text")


def test_a_batch_of_another_text_than_the_approved_one_is_found(
    works: Works, forger: Made, found: Found
) -> None:
    """Found: an operator who goes round the program opens what it would not have opened."""
    approve(works, "B", "1" * 64)
    batch = forger("otto").open_one_more("otto")
    found(works.folder, f"{batch} line 1", "is not that of revision B, which was approved")


def test_a_batch_of_the_approved_text_proves(works: Works, forger: Made, verdict: Proved) -> None:
    """The same by hand with the approved text, and the batches from before any approval."""
    approve(works)
    forger("otto").open_one_more("otto")
    assert verdict(works.folder).ok


def test_a_batch_from_before_a_newer_revision_proves(works: Works, verdict: Proved) -> None:
    """What counts is what was approved when it was opened."""
    approve(works)
    approve(works, "B", "1" * 64)
    assert verdict(works.folder).ok


def test_an_approval_taken_out_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: the operator's key cannot mend the lines of others after it."""
    approve(works)
    approve(works, "B", "1" * 64)
    otto = forger("otto")
    lines = read(otto.shop)
    otto.rewrite_shop([one for one in lines if one.data.get("revision") != "A"])
    found(works.folder, SHOP, "does not stand")


def test_the_last_approval_cut_off_is_not_found(works: Works, verdict: Proved) -> None:
    """Not found: the shop's last line, cut off before anybody wrote after it."""
    before = (works.logs / SHOP).read_bytes()
    approve(works)
    (works.logs / SHOP).write_bytes(before)
    assert verdict(works.folder).ok


REFUSED: dict[str, tuple[str, dict[str, object], str]] = {
    "about somebody else": ("otto", {"id": "cleo", "times": 3}, "tells of cleo and is signed by otto"),
    "none at all": ("otto", {"id": "otto", "times": 0}, ""),
    "fewer than none": ("otto", {"id": "otto", "times": -1}, ""),
    "with more to say": ("otto", {"id": "otto", "times": 1, "by": "cleo"}, "unknown key"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_wrong_pins_told_by_hand_are_held_to_their_rules(
    works: Works, forger: Made, found: Found, name: str
) -> None:
    """Found: each tells of their own PIN, and of one wrong at least."""
    who, data, reason = REFUSED[name]
    hand = forger(who)
    lines = hand.append_shop(told("pin-refused", data, works.people[who], moment(5000)))
    found(works.folder, f"{SHOP} line {len(lines)}", reason)


def _without_her_pins(works: Works, forger: Made, *, then_hers: bool) -> None:
    """Wrong PINs of the chargehand are told, others write on, and the operator takes her line out."""
    all_keys = forger("cleo", "otto")
    lines = [
        told("pin-refused", {"id": who, "times": 2}, works.people[who], moment(5000))
        for who in ("cleo", "otto")
    ]
    all_keys.append_shop(*lines)
    if then_hers:
        approve(works)
    otto = forger("otto")
    otto.rewrite_shop(
        [one for one in read(otto.shop) if (one.kind, one.data.get("id")) != ("pin-refused", "cleo")]
    )


def test_wrong_pins_taken_out_are_found(works: Works, forger: Made, found: Found) -> None:
    """Found: who guessed at the chargehand's PIN cannot mend the line that she wrote later."""
    _without_her_pins(works, forger, then_hers=True)
    found(works.folder, SHOP, "does not stand")


def test_wrong_pins_taken_out_before_ones_own_last_lines_are_not_found(
    works: Works, forger: Made, verdict: Proved
) -> None:
    """Not found: after them stand the operator's own lines alone, which he chains and signs anew."""
    _without_her_pins(works, forger, then_hers=False)
    assert verdict(works.folder).ok
