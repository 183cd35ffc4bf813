"""What a record says: read back by a general TOML reader, for walks good, bad and broken off."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.batch import intents as do
from runner.batch.kinds import event_data
from runner.batch.moment import rfc3339
from runner.batch.terms import Where
from runner.record.fold import FoldFault, fold
from runner.record.journal import Entry, composed
from runner.record.lines import GENESIS, line_hash
from runner.record.render import RENDERERS, render
from runner.text import unfit
from support.batches import OPERATOR, OWNER, START, Walker, later
from support.journals import signer


def journal_of(walker: Walker, unsigned: frozenset[str] = frozenset()) -> bytes:
    """The journal that a walk in memory would have left; kinds named carry no signature."""
    raw, prev = b"", GENESIS
    for seq, ((event, moment), who) in enumerate(zip(walker.events, walker.hands, strict=True), start=1):
        key = None if event.kind in unsigned else signer()
        _, line = composed(Entry(event.kind, event_data(event), who, moment, key), seq, prev)
        raw, prev = raw + line, line_hash(line)
    return raw


def record_of(walker: Walker, unsigned: frozenset[str] = frozenset()) -> dict[str, Any]:
    """Its record, read by a general TOML reader."""
    return tomllib.loads(render(journal_of(walker, unsigned)).decode("utf-8"))


@pytest.fixture(scope="module")
def released() -> Walker:
    """A walk in good order, released with four pieces."""
    walker = Walker().to_end()
    walker.do(do.Release(4))
    return walker


def test_the_same_bytes_come_out_each_time(released: Walker) -> None:
    """A record is a function of the journal's bytes and of nothing else."""
    raw = journal_of(released)
    assert render(raw) == render(raw)


def test_it_says_what_was_plated_for_whom_by_which_procedure(released: Walker) -> None:
    """All of it from the journal's first line."""
    record = record_of(released)
    assert (record["format"], record["batch"], record["outcome"]) == (1, "2026-0001", "released")
    assert record["parts"] == {
        "part": "stirrup irons",
        "customer": "C-1",
        "basis": ["low-carbon steel"],
        "pieces": 4,
        "pieces_released": 4,
        "area_each_dm2": 2.5,
    }
    assert record["procedure"]["title"] == "A test route"
    assert record["shop"] == "Test works (invented)"


def test_it_sets_what_was_done_beside_what_was_planned(released: Walker) -> None:
    """40 A for 1800 s are 20 A·h, and 20 / 10 dm² x 12.292 x 0.955 are 23.48 µm (Faraday's law by hand)."""
    nickel = record_of(released)["step"][1]
    assert nickel["planned"]["current_a"] == 40
    assert nickel["actual"]["dwell_s"] == 1800
    assert nickel["actual"]["charge_ah"] == pytest.approx(20.0)
    assert nickel["actual"]["mean_thickness_um"] == pytest.approx(23.48, abs=0.01)
    assert nickel["actual"]["min_thickness_um"] == pytest.approx(23.48 * 0.6, abs=0.01)
    assert nickel["check"][0]["ask"] in {"Rectifier current", "pH"}
    assert nickel["reading"][0]["amps"] == 40


def test_it_says_who_signed_what_and_when(released: Walker) -> None:
    """Name, role, key, time and meaning; the whole batch and each hold point."""
    record = record_of(released)
    assert record["opened"] == {
        "name": "Olive Demo",
        "id": "olive",
        "role": "owner",
        "key": "SHA256:owner",
        "at": rfc3339(START.at_ms),
        "meaning": "opened the batch",
    }
    assert record["ended"]["meaning"] == "released the batch"
    (signature,) = record["step"][3]["signature"]
    assert signature["meaning"] == "signed as chargehand"


def test_a_deviation_stands_with_its_reason_and_who_settled_it() -> None:
    """The nickel pH was out of its window, and somebody answered for that."""
    walker = Walker()
    walker.do(do.Enter())
    walker.do(do.AnswerValue(2, 1, 5.2))
    walker.do(do.Explain(1, "acid was added too late"))
    walker.wait(60).do(do.Settle(1, "accepted as it is"))
    (deviation,) = record_of(walker)["deviation"]
    assert deviation["step"] == 2
    assert deviation["reason"] == "acid was added too late"
    assert deviation["disposition"] == "accepted as it is"
    assert deviation["settled"]["id"] == "olive"
    assert deviation["settled"]["after_s"] == 60


def test_an_abandoned_batch_says_why() -> None:
    """And holds the steps that were walked until then, no more."""
    walker = Walker().to_nickel()
    walker.do(do.Abandon("the parts were called back"))
    record = record_of(walker)
    assert record["outcome"] == "abandoned"
    assert record["ended"]["reason"] == "the parts were called back"
    assert [step["number"] for step in record["step"]] == [1, 2]
    assert "left" not in record["step"][1]["actual"]


def test_pauses_and_notes_stand_with_their_times() -> None:
    """A power cut in the tank, and what was written about it."""
    walker = Walker().to_nickel()
    walker.do(do.AnswerValue(2, 0, 40.0))
    began = walker.wait(600).now
    walker.do(do.Interrupt(Where.IN_TANK))
    walker.do(do.WriteNote("fuse"), by=OPERATOR)
    walker.wait(30).do(do.Resume())
    record = record_of(walker)
    (pause,) = record["step"][1]["pause"]
    assert pause["began"] == rfc3339(began.at_ms)
    assert pause["ended"] == rfc3339(later(began, 30).at_ms)
    (note,) = record["note"]
    assert (note["text"], note["by"]) == ("fuse", "otto")


def test_facts_without_a_signature_of_their_own_are_listed() -> None:
    """By line; the next signed line covers them."""
    walker = Walker()
    walker.do(do.Enter())
    walker.do(do.WriteNote("no key at hand"))
    assert record_of(walker, frozenset({"step-entered"}))["journal"]["unsigned_lines"] == [2]


def test_practice_says_so_and_production_does_not(released: Walker) -> None:
    """The small batch of these tests is practice."""
    assert "PRACTICE" in record_of(released)["notice"]


def test_the_journal_is_named_by_hash_length_and_lines(released: Walker) -> None:
    """So that a record and a journal that do not belong together show."""
    raw = journal_of(released)
    told = record_of(released)["journal"]
    assert (told["bytes"], told["lines"]) == (len(raw), len(released.events))
    assert told["sha256"] == fold(raw).sha256


TEXTS = st.text(min_size=1, max_size=80).filter(lambda text: text.strip() and not unfit(text))


@given(text=TEXTS)
def test_whatever_a_person_writes_comes_back_as_written(text: str) -> None:
    """Quotes, brackets, backslashes, other scripts: TOML says them again, and none ends a string early."""
    walker = Walker()
    walker.do(do.WriteNote(text))
    (note,) = record_of(walker)["note"]
    assert note["text"] == walker.state.notes[0].text


@pytest.mark.parametrize(
    ("spoil", "line"),
    [
        (lambda lines: lines[:0], 1),
        (lambda lines: lines[1:], 1),
        (lambda lines: [lines[0], *lines[2:]], 2),
        (lambda lines: [lines[0], lines[2], lines[1], *lines[3:]], 2),
        (lambda lines: [*lines, lines[-1]], -1),
        (lambda lines: [*lines, b'{"seq":'], -1),
        (lambda lines: [lines[0], lines[1].replace(b"step-entered", b"step-entred")], 2),
    ],
    ids=["empty", "no first line", "one missing", "two swapped", "one doubled", "torn", "another kind"],
)
def test_a_journal_that_does_not_fold_renders_nothing(spoil: Any, line: int, released: Walker) -> None:
    """The line that is wrong is named."""
    lines = journal_of(released).splitlines(keepends=True)
    with pytest.raises(FoldFault) as caught:
        render(b"".join(spoil(lines)))
    assert caught.value.line == (len(lines) + 1 if line < 0 else line)


def test_a_format_of_a_later_version_is_refused_in_words(released: Walker) -> None:
    """Not rendered by guess: only the formats with a renderer fold."""
    (first, moment), *_ = released.events
    data = {**event_data(first), "format": max(RENDERERS) + 1}
    _, line = composed(Entry(first.kind, data, OWNER.id, moment, signer()), 1, GENESIS)
    with pytest.raises(FoldFault, match="format"):
        render(line)
