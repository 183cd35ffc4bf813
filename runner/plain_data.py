"""Things of plain fields to plain JSON data and back, strictly.

Owns the one way in which events and plans become lines of a journal and are read again. What a reader does
not expect it refuses, since a forged or damaged line must not half-read. Must not know any of the classes.
"""

from __future__ import annotations

import re
from enum import StrEnum
from typing import Any, TypeVar

import msgspec


class Plain(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A thing of plain fields, unchangeable: numbers, texts, tuples of them, and other such things."""


P = TypeVar("P", bound=Plain)

_MISSING = re.compile(r"Object missing required field `(.*)`", re.DOTALL)
_UNKNOWN = re.compile(r"Object contains unknown field `(.*)`", re.DOTALL)


class DataFault(ValueError):
    """Plain data that its class does not read; the message says where and what."""


def to_data(thing: Any) -> Any:
    """Plain JSON data of a thing of plain fields: dicts, lists, texts, numbers, booleans, None."""
    if isinstance(thing, StrEnum):
        return thing.value
    if isinstance(thing, Plain):
        return {name: to_data(getattr(thing, name)) for name in thing.__struct_fields__}
    if isinstance(thing, tuple | list):
        return [to_data(item) for item in thing]
    return thing


def told_data(thing: Any) -> Any:
    """As `to_data`, without the fields that hold their default: `from_data` puts those back.

    Half of a plan's fields are absent in any one step, and each absent one would be parsed, compared and
    hashed again by whoever proves the line. A default is therefore for good: another one would change what
    old lines say.
    """
    if isinstance(thing, Plain):
        fields = msgspec.structs.fields(thing)
        values = [(field, getattr(thing, field.name)) for field in fields]
        return {field.name: told_data(value) for field, value in values if not _is(value, field.default)}
    if isinstance(thing, tuple | list):
        return [told_data(item) for item in thing]
    return to_data(thing)


def _is(value: Any, default: Any) -> bool:
    """Whether a value is the default, type and all: 0 stands for neither False nor 0.0."""
    return type(value) is type(default) and value == default


def from_data(kind: type[P], data: Any, where: str = "") -> P:
    """A thing of plain fields from its plain data; fields with a default may be left out.

    Raises:
        DataFault: A key missing or unknown, a value of another type.
    """
    try:
        return msgspec.convert(data, kind)
    except (msgspec.ValidationError, RecursionError, OverflowError) as error:
        what, _, place = str(error).partition(" - at `$")
        raise DataFault(f"{where or kind.__name__}{place.removesuffix('`')}: {_said(what)}") from None


def _said(what: str) -> str:
    """The library's words, as an auditor reads them in a finding."""
    found = _MISSING.fullmatch(what) or _UNKNOWN.fullmatch(what)
    if found is None:
        return what[:1].lower() + what[1:]
    return f"'{found[1]}' is missing" if found.re is _MISSING else f"unknown key '{found[1]}'"
