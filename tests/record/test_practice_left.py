"""A practice that was left: found again for the same walk alone, and proving once it was taken up."""

from __future__ import annotations

import json
import socket
from dataclasses import replace
from pathlib import Path

import pytest

from runner.batch.practice_faults import Trouble, schedule
from runner.batch.practice_log import Call, PracticeLog, Verdict
from runner.batch.questions import next_action
from runner.procedure.sheet import Plan
from runner.record.journal_errors import JournalError
from runner.record.lock import Held
from runner.record.practice_floor import PRACTICE_PIN, PracticeFloor
from runner.record.practice_left import LEFT, Left, find, forget, take_up
from runner.record.verify import verify
from support.batches import later, wanted
from support.floors import ROUTE, write_shop
from support.journals import moment
from support.sheets import FINAL, NICKEL, RINSE, sheet

SEED = 7


@pytest.fixture
def plan() -> Plan:
    """Nickel, a rinse, a look."""
    return sheet(NICKEL, RINSE, FINAL)


def on(floor: PracticeFloor, until: str) -> None:
    """Do what the practice asks for until it asks for something of this name."""
    now = floor.practised.last
    session = floor.roll.unlock("", PRACTICE_PIN, now)
    while (action := next_action(floor.practised, now)).name != until:
        now = later(now, action.wait_s or 1.0)
        if action.name != "wait":
            floor.act(floor.batch, wanted(floor.practised, action), now, session)


@pytest.fixture
def logs(tmp_path: Path, plan: Plan) -> Path:
    """A shop's logs with a practice that was left with its rack in the nickel."""
    shop = write_shop(tmp_path / "shop")
    floor = PracticeFloor.new(shop, plan, "route.toml", ROUTE, moment())
    floor.keep(PracticeLog(SEED, schedule(plan, SEED)))
    on(floor, "wait")
    floor.close()
    return shop / "logs"


def found(logs: Path, plan: Plan, text: str = ROUTE) -> Left:
    """The practice that was left."""
    left = find(logs, plan, text)
    assert left is not None
    return left


def test_it_is_walked_on_to_its_end_and_proves(logs: Path, plan: Plan) -> None:
    """At the moment when it was left, with a second key of practice; the shop has nothing of it."""
    left = found(logs, plan)
    begun = take_up(left)
    floor = PracticeFloor(logs.parent, begun)
    assert floor.practised.last == left.state.last
    assert floor.practised.runs == left.state.runs
    on(floor, "none")
    assert floor.practised.phase.ended
    floor.seal(floor.batch, floor.roll.unlock("", PRACTICE_PIN, floor.practised.last), floor.practised.last)
    floor.close()
    proof = verify(left.folder)
    assert proof.ok
    assert proof.findings == ()
    signers = (left.folder / "allowed_signers").read_text("ascii").split("\n")
    assert len([row for row in signers if 'namespaces="practice-line@tankwalk' in row]) == 2
    assert [path.name for path in logs.iterdir()] == ["practice"]
    assert find(logs, plan, ROUTE) is None, "it has ended"


def test_it_is_found_for_the_very_same_walk_alone(logs: Path, plan: Plan) -> None:
    """Not for another load, another text of the route, and not once it was forgotten."""
    assert find(logs, sheet(NICKEL, FINAL), ROUTE) is None
    assert find(logs, plan, ROUTE + "\n") is None
    left = found(logs, plan)
    forget(left.folder)
    forget(left.folder)
    assert find(logs, plan, ROUTE) is None
    assert (left.folder / "journal.jsonl").exists()


def test_an_older_one_is_found_by_its_seed(logs: Path, plan: Plan) -> None:
    """Of several of one route and load the last is found, and any other where its own seed is given."""
    floor = PracticeFloor.new(logs.parent, plan, "route.toml", ROUTE, moment())
    floor.keep(PracticeLog(SEED + 1, schedule(plan, SEED + 1)))
    floor.close()
    assert found(logs, plan).log.seed == SEED + 1
    older = find(logs, plan, ROUTE, SEED)
    assert older is not None
    assert older.log.seed == SEED
    assert find(logs, plan, ROUTE, SEED + 2) is None


def test_one_in_hand_at_another_terminal_is_not_offered(logs: Path, plan: Plan) -> None:
    """Two who practise one route at once do not take each other's walk."""
    left = found(logs, plan)
    note = {"pid": 1, "host": socket.gethostname(), "since": "2026-01-01T00:00:00.000Z"}
    (left.folder / "journal.holder").write_text(json.dumps(note), encoding="utf-8")
    assert find(logs, plan, ROUTE) is None


def test_one_that_was_taken_meanwhile_is_refused(logs: Path, plan: Plan) -> None:
    """Both saw it and one was quicker: the other is told."""
    left = found(logs, plan)
    first = take_up(left)
    with pytest.raises((Held, JournalError)):
        take_up(left)
    first.hold.close()


@pytest.mark.parametrize(
    "spoiled",
    [
        b"",
        b"{}",
        b"[" * 100_000,
        b"\xff\xfe",
        b'{"seed":7,"faults":[],"calls":[],"answers":[],"places":[]}',
    ],
)
def test_a_log_that_does_not_fit_is_as_if_it_were_not_there(logs: Path, plan: Plan, spoiled: bytes) -> None:
    """Cut, no JSON, too deep, or with other faults than its seed's: nothing is offered, nothing breaks."""
    (found(logs, plan).folder / LEFT).write_bytes(spoiled)
    assert find(logs, plan, ROUTE) is None


def test_words_that_this_program_does_not_say_are_not_taken(logs: Path, plan: Plan) -> None:
    """A call that tells of something to do that was never asked could bring anything into the debrief."""
    left = found(logs, plan)
    floor = PracticeFloor(logs.parent, take_up(left))
    call = Call(
        1, left.log.faults[0], Verdict.WRONG_ACTION, 3.0, Trouble.COLD, "raise the current to make up for it"
    )
    floor.keep(left.log.with_call(call))
    floor.close()
    assert found(logs, plan).log.calls == (call,)
    for wrong in (
        replace(call, doing="\x1b[2J"),
        replace(call, fault=replace(left.log.faults[0], meter="\x1b")),
    ):
        floor.keep(left.log.with_call(wrong))
        assert find(logs, plan, ROUTE) is None


def test_a_torn_end_of_its_journal_is_no_hindrance(logs: Path, plan: Plan) -> None:
    """A power cut in the midst of a line: it goes on from the last whole one."""
    left = found(logs, plan)
    journal = left.folder / "journal.jsonl"
    journal.write_bytes(journal.read_bytes() + b'{"seq":99')
    begun = take_up(found(logs, plan))
    assert begun.hold.state.runs == left.state.runs
    begun.hold.close()
    assert verify(left.folder).findings == ()
