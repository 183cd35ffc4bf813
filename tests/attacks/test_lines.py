"""Lines of a batch's journal changed, taken out, put in, moved, repeated and carried over."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from runner.record.lines import Line
from support.forger import edited, read, stock_says, told, write
from support.saying import Found, Made, Proved
from support.works import ABANDONED, BATCHES, DEVIATING, ENDED, SEALED, UNSIGNED, Works

Edit = Callable[[list[Line], list[Line]], list[Line]]


def test_the_shop_proves_before_any_attack(works: Works, verdict: Proved) -> None:
    """What the attacks start from is sound, for this program and for ssh-keygen alike."""
    came = verdict(works.folder)
    assert came.ok
    assert [(one.batch, one.status) for one in came.batches] == [
        (name, "sealed" if name in ENDED else "open") for name in BATCHES
    ]
    assert verdict(works.rehearsal).ok
    for name in ENDED:
        who = "otto" if name == ABANDONED else "cleo"
        assert stock_says(works.batch(name), works.logs / "allowed_signers", who)


def _reading_changed(own: list[Line], _: list[Line]) -> list[Line]:
    assert own[6].kind == "current-read"
    return [*own[:6], edited(own[6], amps=6.5), *own[7:]]


EDITS: dict[str, tuple[Edit, int]] = {
    "a figure changed": (_reading_changed, 7),
    "a line taken out": (lambda own, _: own[:4] + own[5:], 5),
    "the first line taken out": (lambda own, _: own[1:], 1),
    "a line put in": (lambda own, _: [*own[:5], own[3], *own[5:]], 6),
    "two lines swapped": (lambda own, _: [*own[:4], own[5], own[4], *own[6:]], 5),
    "a line repeated": (lambda own, _: [*own[:5], own[4], *own[5:]], 6),
    "a line of another batch in its place": (lambda own, other: [*own[:4], other[4], *own[5:]], 5),
    "the tail of another batch": (lambda own, other: own[:6] + other[6:], 7),
    "the head of another batch": (lambda own, other: other[:6] + own[6:], 1),
}
"""Each with the line at which it can first show."""

ADDED: dict[str, Edit] = {
    "the last line again": (lambda own, _: [*own, own[-1]]),
    "an old line": (lambda own, _: [*own, own[4]]),
    "the end of another batch": (lambda own, other: [*own, other[-1]]),
}


@pytest.mark.parametrize("batch", [SEALED, UNSIGNED])
@pytest.mark.parametrize("edit", EDITS)
def test_an_edit_without_a_new_chain_is_found_where_it_is(
    works: Works, found: Found, edit: str, batch: str
) -> None:
    """Found: a signature fits no more, or the next line names another hash; in unsigned lines too."""
    file = works.batch(batch) / "journal.jsonl"
    change, at = EDITS[edit]
    write(file, change(read(file), read(works.batch(DEVIATING) / "journal.jsonl")))
    # A changed line without a signature shows in the line after it.
    places = {f"{batch} line {at}", f"{batch} line {at + 1}"}
    assert places & {one.where for one in found(works.folder)}
    assert places & {f"{batch} {one.where}" for one in found(works.batch(batch))}


@pytest.mark.parametrize("batch", [SEALED, UNSIGNED])
@pytest.mark.parametrize("edit", EDITS)
def test_an_edit_with_a_new_chain_is_found_in_the_next_line_of_another_hand(
    forger: Made, found: Found, edit: str, batch: str
) -> None:
    """Found: the operator can chain and sign his own lines anew, not those of the chargehand after them."""
    otto = forger("otto")
    own = read(otto.journal(batch))
    made = otto.rewrite(batch, EDITS[edit][0](own, read(otto.journal(DEVIATING))))
    spoilt = next(line.seq for line in made if line.who == "cleo" and line not in own)
    otto.reseal(batch, "otto")
    otto.fit_shop(batch)
    found(otto.works.folder, f"{batch} line {spoilt}", "signature does not stand")


@pytest.mark.parametrize("chain", ["as they were", "chained by everybody's keys"])
@pytest.mark.parametrize("edit", ADDED)
def test_a_line_after_the_end_is_found(forger: Made, found: Found, edit: str, chain: str) -> None:
    """Found: nothing follows a release, were it chained and signed by all who ever wrote there."""
    everybody = forger("otto", "cleo")
    own = read(everybody.journal(SEALED))
    changed = ADDED[edit](own, read(everybody.journal(DEVIATING)))
    if chain == "as they were":
        write(everybody.journal(SEALED), changed)
    else:
        everybody.rewrite(SEALED, changed)
    found(everybody.works.folder, f"{SEALED} line {len(own) + 1}")


def test_a_line_signed_with_the_key_of_another_is_found(forger: Made, found: Found) -> None:
    """Found: the chargehand's line under the operator's own key names a person whose key it is not."""
    otto = forger("otto")
    otto.keys["cleo"] = otto.keys["otto"]
    made = otto.rewrite(SEALED, EDITS["a figure changed"][0](read(otto.journal(SEALED)), []))
    at = next(line.seq for line in made if line.who == "cleo")
    found(otto.works.folder, f"{SEALED} line {at}", "is not a key of cleo")


def test_a_signature_taken_off_is_found_where_the_kind_needs_one(works: Works, found: Found) -> None:
    """Found: a release, a hold point or an opening stands only with a signature of its own."""
    file = works.batch(SEALED) / "journal.jsonl"
    for line in (
        line for line in read(file) if line.kind in {"batch-opened", "step-signed", "batch-released"}
    ):
        with_it = file.read_bytes()
        assert line.sig is not None
        file.write_bytes(with_it.replace(f',"sig":"{line.sig}"'.encode(), b""))
        found(works.folder, f"{SEALED} line {line.seq}", "not signed")
        file.write_bytes(with_it)


def test_signatures_of_two_lines_changed_over_are_found(works: Works, found: Found) -> None:
    """Found: each signature covers its own line."""
    file = works.batch(SEALED) / "journal.jsonl"
    raw = file.read_bytes()
    first, second = (line.sig for line in read(file)[3:5])
    assert first is not None and second is not None
    file.write_bytes(
        raw.replace(first.encode(), b"@")
        .replace(second.encode(), first.encode())
        .replace(b"@", second.encode())
    )
    for at in (4, 5):
        found(works.folder, f"{SEALED} line {at}", "signature does not stand")


def test_lines_of_a_batch_do_not_stand_in_another_shop(works: Works, elsewhere: Works, found: Found) -> None:
    """Found: a batch carried over to another shop, whose people have the same names and other keys."""
    elsewhere.batch(SEALED).joinpath("journal.jsonl").write_bytes(
        works.batch(SEALED).joinpath("journal.jsonl").read_bytes()
    )
    findings = found(elsewhere.folder, f"{SEALED} line 1", "which is not a key of otto")
    assert any("first line that the shop's journal knows" in one.what for one in findings)


def test_facts_without_any_key_at_the_end_of_an_open_batch_are_noted_and_no_more(
    works: Works, forger: Made, verdict: Proved
) -> None:
    """Not found, and noted: whoever can write the file can add unsigned facts to an open batch.

    Nobody stands for them until whoever has the batch in hand signs the next line, and the note says so.
    """
    nobody = forger()
    half = nobody.journal("2026-0004")
    last = read(half)[-1]
    note = told(
        "note-written", {"step": 1, "text": "all well"}, works.people["otto"], last.moment, sign=False
    )
    made = nobody.append("2026-0004", note)
    came = verdict(works.folder)
    assert came.ok
    (proof,) = (one for one in came.batches if one.batch == "2026-0004")
    assert f"lines that no signed line follows yet, so nobody stands for them: {len(made)}" in proof.notes
