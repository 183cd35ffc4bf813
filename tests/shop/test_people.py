"""Who works in a shop, with which key, and what each role may do."""

from __future__ import annotations

import base64
from pathlib import Path
from typing import get_args

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from runner.faults import InputFault
from runner.shop.people import People, load_people, parse_people, people_text, person, write_people
from runner.shop.rights import Right, Role, may

# RFC 8032, section 7.1, TEST 1: a public key in print, here in the form of RFC 8709, section 4.
RFC_KEY = bytes.fromhex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a")
KEY = "ssh-ed25519 " + base64.b64encode(b"\0\0\0\x0bssh-ed25519\0\0\0\x20" + RFC_KEY).decode()


def file_of(key: str = KEY, name: str = "olive", role: str = "owner") -> str:
    """A file with one person."""
    return f'format = 1\n[person.{name}]\nname = "Olive Demo"\nrole = "{role}"\nkey = "{key}"\n'


def test_a_person_is_read() -> None:
    """Id, name, role and key."""
    olive = parse_people(file_of()).persons["olive"]
    assert (olive.id, olive.name, olive.role, olive.key) == ("olive", "Olive Demo", "owner", KEY)


def test_the_comment_of_a_key_is_dropped() -> None:
    """A line copied from a key file ends with whose it is."""
    assert parse_people(file_of(KEY + " olive at work")).persons["olive"].key == KEY


def test_a_key_that_a_general_library_writes_is_read() -> None:
    """OpenSSH's form as the cryptography library writes it."""
    public = Ed25519PrivateKey.generate().public_key()
    written = public.public_bytes(Encoding.OpenSSH, PublicFormat.OpenSSH).decode()
    assert parse_people(file_of(written)).persons["olive"].key == written


@pytest.mark.parametrize("name", ["o", "Olive", "9olive", "o" * 33, '"o l"', '"../olive"'])
def test_ids_that_could_name_something_else_are_refused(name: str) -> None:
    """Small letters, digits and hyphens, a letter first, 2 to 32."""
    with pytest.raises(InputFault, match="this is no name for a person"):
        parse_people(file_of(name=name))


@pytest.mark.parametrize("name", ["ol", "o9", "o-live", "o" * 32])
def test_ids_within_the_rule_are_read(name: str) -> None:
    """The ends of the rule itself."""
    assert list(parse_people(file_of(name=name)).persons) == [name]


def test_nobody_is_a_list_of_people() -> None:
    """A shop may have no people yet."""
    assert parse_people("format = 1\n").persons == {}


def test_people_are_written_and_read_again(tmp_path: Path) -> None:
    """What was written is what is read, and nothing is left beside it."""
    everybody = parse_people(file_of())
    folder = tmp_path / "procedures"
    folder.mkdir()
    write_people(folder / "people.toml", everybody)
    assert load_people(tmp_path) == everybody
    assert [path.name for path in folder.iterdir()] == ["people.toml"]
    assert (folder / "people.toml").stat().st_mode & 0o777 == 0o644


def test_a_failed_write_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Power or disk may go at any time: the old list stays whole."""
    file = tmp_path / "people.toml"
    file.write_text("old")

    def no(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", no)
    with pytest.raises(OSError, match="No space left"):
        write_people(file, parse_people(file_of()))
    assert file.read_text() == "old"
    assert list(tmp_path.iterdir()) == [file]


def test_a_person_made_by_a_command_keeps_the_files_rules() -> None:
    """So that nothing is written that could not be read again."""
    made = person("otto", 'Otto "Demo"', "operator", KEY)
    assert parse_people(people_text(People(format=1, person={"otto": made}))).persons["otto"] == made
    with pytest.raises(InputFault, match="no name for a person"):
        person("Otto", "Otto Demo", "operator", KEY)
    with pytest.raises(InputFault, match="control character"):
        person("otto", "Otto\x1b[2J", "operator", KEY)


OPERATOR: set[Right] = {"read", "walk", "sign_operator"}
CHARGEHAND: set[Right] = OPERATOR | {"sign_chargehand", "settle", "release", "approve", "sign_off"}
ALLOWED: dict[Role, set[Right]] = {
    "operator": OPERATOR,
    "trainee": {"read"},
    "chargehand": CHARGEHAND,
    "owner": CHARGEHAND | {"manage_people", "delete_records"},
    "auditor": {"read"},
}


@pytest.mark.parametrize("role", get_args(Role))
@pytest.mark.parametrize("right", get_args(Right))
def test_each_role_may_do_what_the_shop_expects(role: Role, right: Right) -> None:
    """Every pair of role and right."""
    assert may(role, right) == (right in ALLOWED[role])


def test_an_unknown_role_may_do_nothing() -> None:
    """Not even read."""
    assert not may("foreman", "read")
