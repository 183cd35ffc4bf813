"""Frozen dataclasses to plain JSON data and back, strictly.

Owns the one way in which events and plans become lines of a journal and are read again. A reader is
built once for each class from its annotations; what it does not expect it refuses, since a forged or
damaged line must not half-read. Must not know any of the classes.
"""

from __future__ import annotations

import sys
import types
import typing
from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from enum import StrEnum
from functools import cache
from typing import Any, TypeVar

T = TypeVar("T")

Read = Callable[[Any], Any]
"""Turns plain data into a field's value, or raises `_Unfit`."""

Form = tuple[frozenset[type], Read]
"""What a value may be: the types of plain data that are values as they stand, and the reader of the rest."""


class DataFault(ValueError):
    """Plain data that its class does not read; the message says where and what."""


class _Unfit(Exception):
    """Data that does not fit; the place is put together on the way out, so that good data costs none.

    Attributes:
        what: What is needed.
        place: The keys that lead there, each after a full stop.
    """

    def __init__(self, what: str, place: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.place = place


def to_data(thing: Any) -> Any:
    """Plain JSON data for a dataclass of plain fields: dicts, lists, texts, numbers, booleans, None."""
    if isinstance(thing, StrEnum):
        return thing.value
    if is_dataclass(thing) and not isinstance(thing, type):
        return {name: to_data(getattr(thing, name)) for name in _names(type(thing))}
    if isinstance(thing, tuple | list):
        return [to_data(item) for item in thing]
    return thing


def told_data(thing: Any) -> Any:
    """As `to_data`, without the fields that hold their default: `from_data` puts those back.

    Half of a plan's fields are absent in any one step, and each absent one would be parsed, compared and
    hashed again by whoever proves the line. A default is therefore for good: another one would change what
    old lines say.
    """
    if is_dataclass(thing) and not isinstance(thing, type):
        defaults = _defaults(type(thing))
        values = {name: getattr(thing, name) for name in _names(type(thing))}
        return {name: told_data(value) for name, value in values.items() if not _is(value, defaults[name])}
    if isinstance(thing, tuple | list):
        return [told_data(item) for item in thing]
    return to_data(thing)


def _is(value: Any, default: Any) -> bool:
    """Whether a value is the default, type and all: 0 stands for neither False nor 0.0."""
    return type(value) is type(default) and value == default


def from_data(kind: type[T], data: Any, where: str = "") -> T:
    """An instance of a frozen dataclass from plain data.

    Raises:
        DataFault: A key missing or unknown, a value of another type, a number that is not finite.
    """
    untyped: Any = kind
    try:
        thing: T = _reader(untyped)(data)
    except _Unfit as unfit:
        raise DataFault(f"{where or kind.__name__}{unfit.place}: {unfit.what}") from None
    return thing


@cache
def _names(kind: Any) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


@cache
def _defaults(kind: Any) -> dict[str, Any]:
    return {field.name: field.default for field in fields(kind)}


@cache
def _reader(kind: Any) -> Read:
    """The reader of one dataclass: exactly its fields, those with a default may be left out."""
    hints = typing.get_type_hints(kind)
    forms = {field.name: _form(hints[field.name]) for field in fields(kind)}
    defaults = _defaults(kind)
    made = {field.name: field.default_factory for field in fields(kind) if callable(field.default_factory)}
    needed = {name for name, default in defaults.items() if default is MISSING} - made.keys()

    def read(data: Any) -> Any:
        if type(data) is not dict:
            raise _Unfit("a table is needed")
        if not forms.keys() >= data.keys():
            raise _Unfit(f"unknown key {min(map(str, data.keys() - forms.keys()))!r}")
        if not data.keys() >= needed:
            raise _Unfit(f"{min(needed - data.keys())!r} is missing")
        values = defaults | data
        for name, value in data.items():
            as_it_stands, read_value = forms[name]
            if type(value) in as_it_stands:
                continue
            try:
                values[name] = read_value(value)
            except _Unfit as unfit:
                raise _Unfit(unfit.what, f".{name}{unfit.place}") from None
        for name, make in made.items():
            if name not in data:
                values[name] = make()
        # By place: they stand in the order of the fields, and forty names cost more to match than to read.
        return kind(*values.values())

    return read


def _form(hint: Any) -> Form:
    origin = typing.get_origin(hint)
    if origin in (types.UnionType, typing.Union):
        (inner,) = [part for part in typing.get_args(hint) if part is not types.NoneType]
        as_it_stands, read = _form(inner)
        return as_it_stands | {types.NoneType}, read
    plain = _PLAIN.get(dict if origin is dict else hint)
    return plain or (frozenset(), _value_reader(hint, origin))


def _value_reader(hint: Any, origin: Any) -> Read:
    if origin is tuple:
        return _tuple(typing.get_args(hint))
    if origin is typing.Literal:
        allowed = typing.get_args(hint)
        return lambda data: _one_of(data, allowed)
    if hint is Any:
        return lambda data: data
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        values = {member.value: member for member in hint}
        return lambda data: values[_one_of(data, tuple(values))]
    if isinstance(hint, type) and is_dataclass(hint):
        return _reader(hint)
    raise TypeError(f"no plain form for {hint}")


def _one_of(data: Any, allowed: tuple[Any, ...]) -> Any:
    if data not in allowed or isinstance(data, bool) != isinstance(allowed[0], bool):
        raise _Unfit(f"none of {', '.join(map(str, allowed))}")
    return data


def _tuple(parts: tuple[Any, ...]) -> Read:
    if parts[-1] is Ellipsis:
        as_it_stands, read_item = _form(parts[0])

        def read_all(data: Any) -> tuple[Any, ...]:
            return tuple([item if type(item) in as_it_stands else read_item(item) for item in _list(data)])

        return read_all
    forms = [_form(part) for part in parts]

    def read_each(data: Any) -> tuple[Any, ...]:
        if len(_list(data)) != len(forms):
            raise _Unfit(f"{len(forms)} items are needed")
        return tuple(
            [
                item if type(item) in as_it_stands else read_item(item)
                for (as_it_stands, read_item), item in zip(forms, data, strict=True)
            ]
        )

    return read_each


def _list(data: Any) -> list[Any]:
    if type(data) is not list:
        raise _Unfit("a list is needed")
    return data


def _exactly(kind: type, name: str) -> Form:
    def refuse(_data: Any) -> Any:
        raise _Unfit(f"{name} is needed")

    return frozenset({kind}), refuse


def _number(data: Any) -> Any:
    if type(data) is not float and type(data) is not int:
        raise _Unfit("a number is needed")
    # A whole number beyond the floats overflows every sum that it enters, `isfinite` itself first.
    if not (abs(data) <= sys.float_info.max):
        raise _Unfit("a finite number is needed")
    return data


_PLAIN: dict[Any, Form] = {
    str: _exactly(str, "a text"),
    int: _exactly(int, "a whole number"),
    bool: _exactly(bool, "true or false"),
    dict: _exactly(dict, "a table"),
    float: (frozenset(), _number),
}
