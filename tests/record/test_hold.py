"""One batch in hand: what is told as done is on the disk, and a restart comes to the same state."""

from __future__ import annotations

import errno
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from runner.batch import intents as do
from runner.batch.decide import Refused
from runner.batch.questions import next_action
from runner.record.fold import FoldFault, fold
from runner.record.hold import Hold
from runner.record.journal_errors import JournalExists, JournalMissing, JournalTampered, NotWritten
from runner.record.lock import Held
from support.batches import OWNER, START, later, opening, wanted
from support.journals import FaultyDisk, signer

NOW = later(START, 5)


@pytest.fixture
def hold(tmp_path: Path, disk: FaultyDisk) -> Hold:
    """A new batch in hand."""
    folder = tmp_path / "2026-0001"
    folder.mkdir()
    return Hold.create(folder, opening(), START, signer(), disk)


def stamp(seconds: float = 5) -> do.Stamp:
    """The owner, key unlocked and PIN fresh, so long after the start."""
    return do.Stamp(later(START, seconds), OWNER, unlocked=True, fresh=True)


def on_disk(hold: Hold) -> bytes:
    """The journal's bytes."""
    return (hold.folder / "journal.jsonl").read_bytes()


def walk(hold: Hold, acts: int, began: float = 5) -> float:
    """Do so much of what the walk asks for; returns when it was done."""
    seconds = began
    for _ in range(acts):
        action = next_action(hold.state, later(START, seconds))
        if action.name == "none":
            break
        seconds += action.wait_s or 0
        if action.name != "wait":
            hold.do(wanted(hold.state, action), stamp(seconds), signer())
    return seconds


def test_a_new_batch_is_its_first_line(hold: Hold) -> None:
    """One line, signed, and the state is its fold."""
    assert len(hold.lines) == 1
    assert hold.lines[0].sig is not None
    assert fold(on_disk(hold)).state == hold.state


def test_what_is_told_as_done_is_on_the_disk(hold: Hold) -> None:
    """After each act the bytes fold to the state that screens draw."""
    seconds = 5.0
    for _ in range(60):
        seconds = walk(hold, 1, seconds)
        assert fold(on_disk(hold)).state == hold.state
    assert hold.state.phase.ended


def test_a_refused_intent_writes_nothing(hold: Hold) -> None:
    """Neither a line nor a change of state."""
    before, raw = hold.state, on_disk(hold)
    with pytest.raises(Refused):
        hold.do(do.Leave(), stamp(), signer())
    assert hold.state is before
    assert on_disk(hold) == raw


@pytest.mark.parametrize("call", ["write", "fsync"])
def test_what_the_disk_did_not_take_did_not_happen(call: str, hold: Hold, disk: FaultyDisk) -> None:
    """The state stays, and the same act goes through later; what was told before stands as it was."""
    walk(hold, 3)
    before, raw = hold.state, on_disk(hold)
    disk.failing[call] = errno.EIO
    action = next_action(hold.state, later(START, 60))
    with pytest.raises(NotWritten):
        hold.do(wanted(hold.state, action), stamp(60), signer())
    assert hold.state is before
    disk.heal()
    hold.do(wanted(hold.state, action), stamp(61), signer())
    assert on_disk(hold).startswith(raw)
    assert fold(on_disk(hold)).state == hold.state


def test_a_disk_with_room_for_half_a_line_tears_it_and_goes_on(hold: Hold, disk: FaultyDisk) -> None:
    """The torn half is cut off and kept in a line of its own, before the act that is tried again."""
    disk.room = 40
    with pytest.raises(NotWritten):
        hold.do(do.Enter(), stamp(), None)
    disk.heal()
    hold.do(do.Enter(), stamp(6), None)
    assert [line.kind for line in hold.lines[-2:]] == ["tail-set-aside", "step-entered"]
    assert hold.state.tails == 1
    assert fold(on_disk(hold)).state == hold.state


def test_a_batch_put_down_is_taken_up_again_as_it_was(hold: Hold) -> None:
    """Lines, state and last hash."""
    walk(hold, 6)
    hold.close()
    again = Hold.take(hold.folder, NOW)
    assert again.state == hold.state
    assert again.lines == hold.lines
    assert again.last_hash == hold.last_hash
    again.close()


def test_what_is_in_hand_here_is_in_hand_nowhere_else(hold: Hold) -> None:
    """Until it is put down."""
    with pytest.raises(Held):
        Hold.take(hold.folder, NOW)
    hold.close()
    Hold.take(hold.folder, NOW).close()


def test_a_folder_that_holds_a_batch_gets_no_second_one(hold: Hold) -> None:
    """The first stays whole."""
    raw = on_disk(hold)
    hold.close()
    with pytest.raises(JournalExists):
        Hold.create(hold.folder, opening(), NOW, signer())
    assert on_disk(hold) == raw


def test_no_batch_is_taken_where_none_is(tmp_path: Path) -> None:
    """An empty folder, and none at all."""
    for folder in (tmp_path, tmp_path / "away"):
        with pytest.raises(JournalMissing):
            Hold.take(folder, NOW)


def test_a_changed_journal_is_not_taken_and_stays_free(hold: Hold) -> None:
    """A byte of an early line; the next who looks is not told that somebody holds it."""
    walk(hold, 4)
    hold.close()
    good = on_disk(hold)
    (hold.folder / "journal.jsonl").write_bytes(good.replace(b"stirrup", b"stirrop", 1))
    for _ in range(2):
        with pytest.raises(JournalTampered):
            Hold.take(hold.folder, NOW)
    (hold.folder / "journal.jsonl").write_bytes(good)
    Hold.take(hold.folder, NOW).close()


def test_lines_that_chain_and_cannot_have_happened_are_not_taken(hold: Hold) -> None:
    """A step left that was never entered: the chain is whole, the order is not."""
    hold._journal.append("step-left", {"step": 1}, OWNER.id, NOW, signer())
    hold.close()
    for _ in range(2):
        with pytest.raises(FoldFault, match="line 2"):
            Hold.take(hold.folder, NOW)


def test_notes_from_many_threads_are_all_kept(hold: Hold) -> None:
    """Whole, in one order, each once."""
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda n: hold.do(do.WriteNote(f"note {n}"), stamp(), signer()), range(40)))
    assert sorted(note.text for note in hold.state.notes) == sorted(f"note {n}" for n in range(40))
    assert fold(on_disk(hold)).state == hold.state
