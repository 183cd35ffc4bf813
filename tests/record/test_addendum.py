"""Something signed beside a sealed record: it stays as it was, and no addendum can go or come unseen."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from runner.faults import InputFault
from runner.record import addendum
from runner.record.layout import ADDENDUM_NAMESPACE
from runner.record.verify import verify
from support.floors import Works


@pytest.fixture
def works(works: Works) -> Works:
    """That shop, with a released batch."""
    works.follow_to(works.open(), "release")
    return works


def add(works: Works, text: str = "the customer returned one piece", who: str = "cleo") -> Path:
    """An addendum to the first batch."""
    return addendum.add(works.logs, "2026-0001", text, works.people[who], works.now)


def findings(works: Works) -> list[str]:
    """What does not prove, by place."""
    return [finding.where for finding in verify(works.logs / "2026-0001").findings]


def test_an_addendum_leaves_the_record_as_it_was(works: Works) -> None:
    """Two of them, and everything proves; the reader is told how many there are."""
    record = (works.logs / "2026-0001" / "record.toml").read_bytes()
    add(works)
    add(works, "it was rework of another shop's job")
    assert (works.logs / "2026-0001" / "record.toml").read_bytes() == record
    verdict = verify(works.logs / "2026-0001")
    assert verdict.ok
    assert any("addenda signed since: 2" in note for note in verdict.batches[0].notes)


def test_stock_tools_say_whose_it_is(works: Works) -> None:
    """In a namespace of its own: it never passes for a record."""
    path = add(works)
    command = ["ssh-keygen", "-Y", "verify", "-f", str(works.logs / "allowed_signers"), "-I", "cleo"]
    for namespace, good in ((ADDENDUM_NAMESPACE, True), ("batch-record@tankwalk", False)):
        done = subprocess.run(
            [*command, "-n", namespace, "-s", f"{path}.sig"],
            input=path.read_bytes(),
            capture_output=True,
            check=False,
        )
        assert (done.returncode == 0) is good


def test_a_removed_addendum_is_missed(works: Works) -> None:
    """The shop's journal names it."""
    add(works).unlink()
    assert findings(works) == ["addendum-1.toml"]


def test_a_changed_or_swapped_addendum_is_found(works: Works) -> None:
    """Its hash is in the shop's journal, its signature over its bytes."""
    first, second = add(works), add(works, "more")
    first.write_bytes(first.read_bytes().replace(b"returned", b"accepted"))
    assert set(findings(works)) == {"addendum-1.toml", "addendum-1.toml.sig"}
    first.write_bytes(second.read_bytes())
    assert "addendum-1.toml" in findings(works)


def test_an_addendum_that_nobody_signed_in_is_found(works: Works) -> None:
    """A file put beside the record by hand."""
    (works.logs / "2026-0001" / "addendum-1.toml").write_text('text = "all is well"\n', encoding="utf-8")
    assert findings(works) == ["addendum-1.toml"]


@pytest.mark.parametrize(
    ("batch", "text", "who"),
    [
        ("2026-0001", " ", "cleo"),
        ("2026-0001", "\x1b[2J", "cleo"),
        ("2026-0001", "x" * 600, "cleo"),
        ("2026-0009", "no such batch", "cleo"),
        ("2026-0001", "I may not", "otto"),
    ],
)
def test_what_cannot_be_added_adds_nothing(works: Works, batch: str, text: str, who: str) -> None:
    """No words, words that cannot be kept, no such record, a role that may not: refused, and all proves."""
    with pytest.raises(InputFault):
        addendum.add(works.logs, batch, text, works.people[who], works.now)
    for stray in (works.logs / "2026-0001").glob("addendum-*"):
        stray.unlink()
    assert verify(works.logs).ok


def test_an_open_batch_has_nothing_to_add_to(works: Works) -> None:
    """Its journal still takes notes."""
    batch = works.open()
    with pytest.raises(InputFault):
        addendum.add(works.logs, batch, "too early", works.people["cleo"], works.now)
