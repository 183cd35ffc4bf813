"""The shop's roll: people added, their keys opened, and what another terminal or a changed file shows."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from runner.faults import InputFault
from runner.record.keys import Keys
from runner.record.roll import CannotAdd, Roll
from runner.record.session import NotUnlocked, Session
from runner.shop.people import load_people
from support.floors import PIN, write_shop
from support.journals import moment

OTHER_PIN = "271828"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A shop without people."""
    return write_shop(tmp_path / "shop")


def roll_of(folder: Path) -> Roll:
    """Its roll, as one terminal sees it."""
    return Roll(folder, folder / "logs", Keys(folder.parent / "keys", rounds=1))


@pytest.fixture
def roll(folder: Path) -> Roll:
    """A roll with an owner."""
    made = roll_of(folder)
    made.add("olive", "Olive Demo", "owner", PIN, None, moment())
    return made


@pytest.fixture
def owner(roll: Roll) -> Session:
    """The owner's session."""
    return roll.unlock("olive", PIN, moment())


def test_nobody_is_on_a_new_shops_roll(folder: Path) -> None:
    """And nothing is wrong with it."""
    roll = roll_of(folder)
    assert (roll.state, roll.problem, roll.people()) == (None, None, [])


def test_the_owner_is_whose_fingerprint_was_told(folder: Path) -> None:
    """That on paper is that of line 1."""
    roll = roll_of(folder)
    fingerprint = roll.add("olive", "Olive Demo", "owner", PIN, None, moment())
    assert roll.state is not None
    assert roll.state.owner == fingerprint
    assert [person.key for person in roll.people()] == [fingerprint]


def test_each_pin_opens_its_own_key(roll: Roll, owner: Session) -> None:
    """A right PIN gives that person's session, another's does not."""
    fingerprint = roll.add("otto", "Otto Demo", "operator", OTHER_PIN, owner, moment())
    session = roll.unlock("otto", OTHER_PIN, moment(1))
    assert (session.person.role, session.key.fingerprint) == ("operator", fingerprint)
    with pytest.raises(NotUnlocked, match="not the PIN of this key"):
        roll.unlock("otto", PIN, moment(2))
    with pytest.raises(NotUnlocked, match="does not work here"):
        roll.unlock("nobody", PIN, moment(2))


def test_the_list_of_people_is_written_from_the_journal(roll: Roll, owner: Session, folder: Path) -> None:
    """Read back as any such file is."""
    roll.add("otto", "Otto Demo", "operator", OTHER_PIN, owner, moment())
    people = load_people(folder).persons
    assert {one.id: (one.name, one.role) for one in people.values()} == {
        "olive": ("Olive Demo", "owner"),
        "otto": ("Otto Demo", "operator"),
    }


def test_a_list_that_cannot_be_written_keeps_nobody_out(roll: Roll, owner: Session, folder: Path) -> None:
    """The journal has them; the next who is added writes the list."""
    people = folder / "procedures" / "people.toml"
    people.unlink()
    (people / "in the way").mkdir(parents=True)
    roll.add("otto", "Otto Demo", "operator", OTHER_PIN, owner, moment())
    assert roll.unlock("otto", OTHER_PIN, moment()).person.id == "otto"
    (people / "in the way").rmdir()
    people.rmdir()
    roll.add("tess", "Tess Demo", "trainee", OTHER_PIN, owner, moment())
    assert sorted(load_people(folder).persons) == ["olive", "otto", "tess"]


@pytest.mark.parametrize(
    ("who", "name", "pin", "said"),
    [
        ("olive", "Olive Again", PIN, "olive is taken"),
        ("Otto", "Otto", PIN, "no name for a person"),
        ("otto", "", PIN, "an empty text"),
        ("otto", "O\x1b[31m", PIN, "control character"),
        ("otto", "Otto", "12345", "6 to 64 digits"),
        ("otto", "Otto", "secret", "digits only"),
    ],
)
def test_who_cannot_be_added_leaves_nothing(
    who: str, name: str, pin: str, said: str, roll: Roll, owner: Session, folder: Path
) -> None:
    """No key, no line."""
    keys = Keys(folder.parent / "keys").fingerprints()
    before = (folder / "logs" / "shop.jsonl").read_bytes()
    with pytest.raises(InputFault, match=said):
        roll.add(who, name, "operator", pin, owner, moment())
    assert Keys(folder.parent / "keys").fingerprints() == keys
    assert (folder / "logs" / "shop.jsonl").read_bytes() == before


def test_the_first_is_the_owner_and_there_is_but_one_first(folder: Path, roll: Roll) -> None:
    """Everybody else is added with the owner's key."""
    with pytest.raises(InputFault, match="this shop has an owner"):
        roll.add("otto", "Otto", "owner", PIN, None, moment())
    other = write_shop(folder.parent / "other")
    with pytest.raises(InputFault, match="the first person cannot be operator"):
        roll_of(other).add("otto", "Otto", "operator", PIN, None, moment())


def test_an_operator_adds_nobody(roll: Roll, owner: Session) -> None:
    """Their line would not count, so it is not written."""
    roll.add("otto", "Otto Demo", "operator", OTHER_PIN, owner, moment())
    otto = roll.unlock("otto", OTHER_PIN, moment())
    with pytest.raises((InputFault, CannotAdd)):
        roll.add("tess", "Tess Demo", "trainee", OTHER_PIN, otto, moment())
    assert [one.id for one in roll.people()] == ["olive", "otto"]


def test_another_terminals_additions_are_seen(roll: Roll, owner: Session, folder: Path) -> None:
    """After a look."""
    second = roll_of(folder)
    roll.add("otto", "Otto Demo", "operator", OTHER_PIN, owner, moment())
    assert [one.id for one in second.people()] == ["olive"]
    second.look_again()
    assert [one.id for one in second.people()] == ["olive", "otto"]


def test_a_changed_journal_is_told(roll: Roll, folder: Path) -> None:
    """In words, with what to do; and once it is back, all is well again."""
    journal = folder / "logs" / "shop.jsonl"
    good = journal.read_bytes()
    line = json.loads(good)
    journal.write_bytes(good.replace(line["sig"][-12:].encode(), b"AAAAAAAAAAA="))
    assert (problem(roll) or "").startswith("the shop's journal does not prove: line 1")
    journal.write_bytes(good)
    journal.touch()
    assert problem(roll) is None
    journal.write_bytes(b"")
    assert problem(roll) is not None
    journal.unlink()
    assert problem(roll) is None
    assert roll.people() == []


def problem(roll: Roll) -> str | None:
    """What is wrong with the journal, after a look."""
    roll.look_again()
    return roll.problem


def test_a_disk_that_takes_nothing_adds_nobody(folder: Path) -> None:
    """Said in words: the logs are a file here."""
    (folder / "logs").rmdir()
    (folder / "logs").write_text("in the way", encoding="ascii")
    with pytest.raises(CannotAdd):
        roll_of(folder).add("olive", "Olive Demo", "owner", PIN, None, moment())
