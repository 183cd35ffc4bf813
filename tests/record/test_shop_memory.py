"""What was folded of the shop's journal is not folded again, and what was changed meanwhile is found."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from pathlib import Path

import pytest

from runner.batch import intents as do
from runner.record import sshsig
from runner.record.floor import CannotOpen
from runner.record.journal import Journal
from runner.record.lines import dump
from runner.record.shop_fold import ShopFault, fold
from runner.record.shop_memory import ShopMemory
from runner.record.shop_reading import read_shop
from runner.record.shop_state import ShopState
from support.floors import Works
from support.forger import chained, raw_lines, read
from support.journals import moment
from support.mill import Mill

MOST_BYTES_KEPT = 400
"""A name, who opened it, two hashes of 64 characters, two line numbers and a time, written out."""


@pytest.fixture
def journal(works: Works) -> Path:
    """A shop's journal with its people and a few batches."""
    for _ in range(3):
        works.open()
    works.floor.close()
    return works.logs / "shop.jsonl"


def come(does: Callable[[bytes], tuple[ShopState, int]], content: bytes) -> object:
    """What a fold comes to, or at which line and why it does not; what a memory may forget left out."""
    try:
        state, torn = does(content)
    except ShopFault as fault:
        return fault.line, fault.reason
    return lean(state), torn


def lean(state: ShopState) -> ShopState:
    """Without which lines of batches that ended the shop saw: that is for proofs, which read anew."""
    batches = {
        name: batch._replace(seen=()) if batch.closed is not None else batch
        for name, batch in state.batches.items()
    }
    return state._replace(batches=batches)


def test_each_line_is_checked_once(works: Works, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three openings add three lines: each is looked at before it is written and after, no other is."""
    looks: list[bytes] = []
    check = sshsig.check

    def counted(blob: bytes, namespace: str, message: bytes) -> bytes:
        looks.append(message)
        return check(blob, namespace, message)

    works.open()
    monkeypatch.setattr(sshsig, "check", counted)
    for _ in range(3):
        works.open()
    assert len(looks) == 6
    assert len(set(looks)) == 3


def test_what_was_added_by_another_terminal_is_folded(works: Works) -> None:
    """A second terminal's batches show in the first's state, as if it had read all of it."""
    works.open()
    second = Works(works.folder, works.keys, works.now, dict(works.people))
    name = second.open()
    works.floor.roll.look_again()
    assert works.floor.roll.state == lean(read_shop(works.logs))
    assert works.floor.roll.state is not None
    assert name in works.floor.roll.state.open_batches
    second.floor.close()


def test_every_flipped_byte_and_every_cut_is_found_as_without_a_memory(journal: Path) -> None:
    """A memory of the sound journal changes nothing of what is found, and at which line."""
    sound = journal.read_bytes()
    for at in range(0, len(sound), 41):
        memory = ShopMemory()
        memory.fold(sound)
        flipped = sound[:at] + bytes([sound[at] ^ 1]) + sound[at + 1 :]
        assert come(memory.fold, flipped) == come(fold, flipped)
        assert come(memory.fold, sound[:at]) == come(fold, sound[:at])


def test_a_journal_grown_line_by_line_comes_to_the_same(journal: Path) -> None:
    """One memory through all lengths, torn tails among them."""
    raws = raw_lines(journal)
    memory, grown = ShopMemory(), b""
    for raw in raws:
        assert come(memory.fold, grown + raw[:60]) == come(fold, grown + raw[:60])
        grown += raw
        assert come(memory.fold, grown) == come(fold, grown)


def test_a_journal_rewritten_with_its_chain_is_folded_whole(works: Works, journal: Path) -> None:
    """A forger with the operator's key leaves the last lines sound: the first change is found."""
    memory = ShopMemory()
    memory.fold(journal.read_bytes())
    lines = read(journal)
    forged = chained([*lines[:2], *lines[3:]], {"otto": works.people["otto"].key})
    content = b"".join(map(dump, forged))
    assert come(memory.fold, content) == come(fold, content)
    assert isinstance(come(memory.fold, content), tuple)


def test_a_line_changed_between_two_openings_stops_the_second(works: Works) -> None:
    """The floor that folded the sound journal a moment ago writes nothing behind a changed line."""
    works.open()
    path = works.logs / "shop.jsonl"
    path.write_bytes(path.read_bytes().replace(b"Otto", b"Ottx"))
    before = path.read_bytes()
    with pytest.raises(CannotOpen):
        works.open()
    assert path.read_bytes() == before


def test_a_journal_put_in_its_place_is_read_whole(works: Works, tmp_path: Path) -> None:
    """Known lines are used only where the very same bytes stand; a shorter file is read anew."""
    works.open()
    works.floor.close()
    path = works.logs / "shop.jsonl"
    with Journal.open(path, moment()) as held:
        known, lines = held.known, held.lines
    short = tmp_path / "shop.jsonl"
    short.write_bytes(b"".join(raw_lines(path)[:-1]))
    with Journal.open(short, moment(), known=known) as held:
        assert held.already_known == 0
        assert held.lines == lines[:-1]
    with Journal.open(path, moment(), known=known) as held:
        assert held.already_known == known.number == len(lines)
        assert held.lines == []
        assert held.known == known


def test_of_a_batch_that_ended_a_few_hundred_bytes_are_kept(tmp_path: Path) -> None:
    """Forty batches, eight open at a time: a terminal keeps names and hashes, and no line of the journal."""
    mill = Mill(tmp_path / "shop")
    standing = [mill.open() for _ in range(8)]
    kept: list[int] = []
    memory = ShopMemory()
    for _ in range(40):
        mill.act(standing.pop(0), do.Abandon("called back"), "otto", fresh=True)
        standing.append(mill.open())
        memory.fold((mill.logs / "shop.jsonl").read_bytes())
        kept.append(len(pickle.dumps(memory.folded)))
    mill.close()
    assert memory.folded is not None
    assert [name for name, batch in memory.folded.state.batches.items() if batch.seen] == standing[:-1]
    assert kept[-1] - kept[0] < 40 * MOST_BYTES_KEPT
