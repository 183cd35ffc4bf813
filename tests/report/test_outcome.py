"""How a batch stands, said on its report in words that cannot be overlooked."""

from __future__ import annotations

from dataclasses import replace

import pytest
from msgspec import structs

from runner.record.report.material import gather
from runner.record.report.view import view
from runner.record.shop_reading import read_shop
from support.journals import moment
from support.pages import Printed
from support.works import ABANDONED, OPEN, SEALED, UNSIGNED, Works


def test_a_released_batch_says_so(sound: Works, printed: Printed) -> None:
    """And that it proves, and on what that rests."""
    page = printed(sound.batch(SEALED))
    assert "RELEASED 2 pieces" in page.text
    assert "Verification at the time of printing: proves." in page.text
    assert "Trust: beside the records" in page.text
    assert "NOT PROVEN" not in page.text


def test_a_single_piece_is_told_as_one(sound: Works) -> None:
    """1 piece, not 1 pieces."""
    material = gather(sound.batch(SEALED))
    assert material.folded is not None
    state = structs.replace(material.folded.state, released_pieces=1)
    one = replace(material, folded=replace(material.folded, state=state))
    assert view(one, moment()).headlines[-1].detail.startswith("1 piece, ")


def test_signers_from_outside_are_told(sound: Works) -> None:
    """The trust word changes with what the proof rests on."""
    owner = read_shop(sound.logs).owner
    assert view(gather(sound.batch(SEALED), owner=owner), moment()).trust.startswith("pinned")


@pytest.mark.parametrize(
    ("name", "words"),
    [(OPEN, "OPEN: NOT FINISHED"), (ABANDONED, "ABANDONED Nothing was released. Reason: the parts were")],
)
def test_one_that_was_not_released_says_so(sound: Works, printed: Printed, name: str, words: str) -> None:
    """Open or abandoned, in large words and never as released."""
    page = printed(sound.batch(name))
    assert words in page.text
    assert "RELEASED" not in page.text


def test_practice_is_marked_across_every_sheet(sound: Works, printed: Printed) -> None:
    """Fixed to the sheet, in words; and no rehearsal says in large words that it was released."""
    page = printed(sound.rehearsal)
    assert page.text.startswith("PRACTICE")
    assert ".across { position: fixed" in page.style
    assert "RELEASED IN PRACTICE ONLY" in page.text
    assert "no parts were plated" in page.text


def test_a_changed_batch_is_printed_as_one_that_does_not_prove(works: Works, printed: Printed) -> None:
    """With every finding of verification, and what the files say all the same."""
    journal = works.batch(SEALED) / "journal.jsonl"
    journal.write_bytes(journal.read_bytes().replace(b"stirrup irons", b"silver spoons", 1))
    material = gather(works.batch(SEALED))
    page = printed(works.batch(SEALED))
    assert "DOES NOT PROVE" in page.text
    assert "SAYS THAT IT WAS RELEASED" in page.text
    assert "NOT PROVEN" in page.text
    assert material.verdict.findings
    for found in material.verdict.findings:
        assert found.what in page.text
    assert "part silver spoons" in page.text
    assert 'part = "stirrup irons"' in page.text
    assert '[[step]] number = 1 name = "Dip"' in page.text


def test_a_journal_that_breaks_off_is_printed_up_to_there(works: Works, printed: Printed) -> None:
    """The first steps stand, and where reading stopped."""
    journal = works.batch(SEALED) / "journal.jsonl"
    lines = journal.read_bytes().splitlines(keepends=True)
    journal.write_bytes(b"".join([*lines[:5], b"{}\n", *lines[6:]]))
    page = printed(works.batch(SEALED))
    assert "NOT READ TO ITS END" in page.text
    assert "line 6" in page.text
    assert "1. Dip" in page.text


@pytest.mark.parametrize("content", [b"", b"{}\n", None, b"\xff\x00\n"])
def test_a_journal_that_is_none_leaves_the_record_s_own_words(
    works: Works, printed: Printed, content: bytes | None
) -> None:
    """Nothing to fold: the record stands as it lies there, under the words that it does not prove."""
    journal = works.batch(SEALED) / "journal.jsonl"
    if content is None:
        journal.unlink()
    else:
        journal.write_bytes(content)
    page = printed(works.batch(SEALED))
    assert "DOES NOT PROVE" in page.text
    assert 'outcome = "released"' in page.text


def test_a_batch_that_ended_without_its_seal_says_so(works: Works, printed: Printed) -> None:
    """And does not prove."""
    (works.batch(SEALED) / "record.toml.sig").unlink()
    assert "NOT SEALED" in printed(works.batch(SEALED)).text


def test_lines_without_a_signature_are_told(sound: Works, printed: Printed) -> None:
    """No fault, but to be known."""
    assert "lines without a signature of their own" in printed(sound.batch(UNSIGNED)).text
