"""Who works in the shop, in which role, and with which key.

Owns ``people.toml``, read and written. Must not know what a role may do (`runner.shop.rights`), nor any
private key: those lie outside the shop.
"""

from __future__ import annotations

import base64
import os
import tempfile
from pathlib import Path
from typing import Annotated, Literal, get_args

import tomli_w
from pydantic import Field, PlainValidator

from runner.fields import OWN_KEY, Line, Table, found, one_of, refusal
from runner.shop.finding import people_file
from runner.shop.names import PERSON_ID
from runner.shop.rights import Role
from runner.toml_file import Document, load, parse
from runner.validation import FORMAT, Reading

_KEY_TYPE = "ssh-ed25519"
# RFC 8709, section 4: the name of the type, then 32 bytes of key, each with its length before it.
_KEY_HEAD = b"\x00\x00\x00\x0bssh-ed25519\x00\x00\x00\x20"
_KEY_BYTES = 32


def _key(value: object) -> str:
    """A public key without the comment that key files carry at their end."""
    kind, written, *_ = (*value.split(), "", "") if isinstance(value, str) else ("", "")
    try:
        blob = base64.b64decode(written, validate=True)
    except ValueError:
        blob = b""
    if kind != _KEY_TYPE or not blob.startswith(_KEY_HEAD) or len(blob) != len(_KEY_HEAD) + _KEY_BYTES:
        raise refusal(
            f"{found(value)} is no public key of type {_KEY_TYPE}",
            f'write the public half that `tankwalk people add` made, like "{_KEY_TYPE} AAAA…"',
        )
    return f"{kind} {written}"


class Person(Table):
    """One person.

    Attributes:
        id: What records call them.
        key: Public key in OpenSSH's form, without comment.
    """

    id: str = Field(alias=OWN_KEY)
    name: Line = Field(examples=['"Olive Demo"'])
    role: Annotated[Role, one_of(get_args(Role), "a role")] = Field(examples=['"operator"'])
    key: Annotated[str, PlainValidator(_key)] = Field(examples=['"ssh-ed25519 AAAA…"'])


class People(Table):
    """Everybody, by id."""

    format: Literal[1]
    persons: dict[str, Person] = Field({}, alias="person")


def person(id_: str, name: str, role: Role, key: str) -> Person:
    """One person, held to the same rules as a file.

    Raises:
        InputFault: An id, a name, a role or a key that a file could not hold.
    """
    text = tomli_w.dumps({"format": FORMAT, "person": {id_: {"name": name, "role": role, "key": key}}})
    return parse_people(text, "people").persons[id_]


def load_people(folder: Path) -> People:
    """The people of a shop's folder.

    Raises:
        InputFault: Everything that is wrong with the file, by line.
    """
    return _people(load(people_file(folder)))


def parse_people(text: str, file: str = "people.toml") -> People:
    """The people that a text lists.

    Raises:
        InputFault: Everything that is wrong with it, by line.
    """
    return _people(parse(text, file))


def people_text(people: People) -> str:
    """The file that lists them."""
    persons = {
        entry.id: {"name": entry.name, "role": entry.role, "key": entry.key}
        for entry in people.persons.values()
    }
    return tomli_w.dumps({"format": FORMAT, "person": persons})


def write_people(path: Path, people: People) -> None:
    """Write everybody into a file, which is either the old or the new one whenever the power goes.

    Raises:
        OSError: The disk refuses.
    """
    handle, name = tempfile.mkstemp(prefix=".people-", dir=path.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(people_text(people))
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _people(document: Document) -> People:
    reading = Reading(document)
    persons: dict[str, Person] = {}
    holders: dict[str, str] = {}
    for name, fields in reading.tables("person").items():
        at = ("person", name)
        if not PERSON_ID.fullmatch(name):
            reading.add(
                at,
                "this is no name for a person",
                "use small letters, digits and hyphens, 2 to 32 of them, a letter first",
            )
        given = {**fields, OWN_KEY: name} if isinstance(fields, dict) else fields
        if (read := reading.table(Person, given, at)) is None:
            continue
        persons[name] = read
        holder = holders.setdefault(read.key, name)
        if holder != name:
            reading.add((*at, "key"), f'the key is that of "{holder}"', "give each person a key of their own")
    return reading.finish(reading.table(People, {**document.data, "person": persons}))
