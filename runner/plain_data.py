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

Read = Callable[[Any, str], Any]
"""Turns plain data into a field's value; the text says where it stands, for the message."""


class DataFault(ValueError):
    """Plain data that its class does not read; the message says where and what."""


def to_data(thing: Any) -> Any:
    """Plain JSON data for a dataclass of plain fields: dicts, lists, texts, numbers, booleans, None."""
    if isinstance(thing, StrEnum):
        return thing.value
    if is_dataclass(thing) and not isinstance(thing, type):
        return {name: to_data(getattr(thing, name)) for name in _names(type(thing))}
    if isinstance(thing, tuple | list):
        return [to_data(item) for item in thing]
    return thing


def from_data(kind: type[T], data: Any, where: str = "") -> T:
    """An instance of a frozen dataclass from plain data.

    Raises:
        DataFault: A key missing or unknown, a value of another type, a number that is not finite.
    """
    untyped: Any = kind
    reader: Callable[[Any, str], T] = _reader(untyped)
    return reader(data, where or kind.__name__)


@cache
def _names(kind: Any) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


@cache
def _reader(kind: Any) -> Read:
    """The reader of one dataclass: exactly its fields, those with a default may be left out."""
    hints = typing.get_type_hints(kind)
    readers = {field.name: _value_reader(hints[field.name]) for field in fields(kind)}
    needed = {
        field.name for field in fields(kind) if field.default is MISSING and field.default_factory is MISSING
    }

    def read(data: Any, where: str) -> Any:
        if type(data) is not dict:
            raise DataFault(f"{where}: a table is needed")
        if data.keys() - readers.keys():
            raise DataFault(f"{where}: unknown key {min(map(str, data.keys() - readers.keys()))!r}")
        if needed - data.keys():
            raise DataFault(f"{where}: {min(needed - data.keys())!r} is missing")
        return kind(**{name: readers[name](value, f"{where}.{name}") for name, value in data.items()})

    return read


def _value_reader(hint: Any) -> Read:
    origin = typing.get_origin(hint)
    if origin in (types.UnionType, typing.Union):
        return _optional(hint)
    if origin is tuple:
        return _tuple(typing.get_args(hint))
    if origin is typing.Literal:
        allowed = typing.get_args(hint)
        return lambda data, where: _one_of(data, where, allowed)
    if hint is Any:
        return lambda data, _where: data
    if origin is dict or hint is dict:
        return _exactly(dict, "a table")
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        values = {member.value: member for member in hint}
        return lambda data, where: values[_one_of(data, where, tuple(values))]
    if isinstance(hint, type) and is_dataclass(hint):
        return _reader(hint)
    if hint in _PLAIN:
        return _PLAIN[hint]
    raise TypeError(f"no plain form for {hint}")


def _one_of(data: Any, where: str, allowed: tuple[Any, ...]) -> Any:
    if data not in allowed or isinstance(data, bool) != isinstance(allowed[0], bool):
        raise DataFault(f"{where}: none of {', '.join(map(str, allowed))}")
    return data


def _optional(hint: Any) -> Read:
    (inner,) = [part for part in typing.get_args(hint) if part is not type(None)]
    read = _value_reader(inner)
    return lambda data, where: None if data is None else read(data, where)


def _tuple(parts: tuple[Any, ...]) -> Read:
    if parts[-1] is Ellipsis:
        read_item = _value_reader(parts[0])

        def read_all(data: Any, where: str) -> tuple[Any, ...]:
            return tuple(read_item(item, where) for item in _list(data, where))

        return read_all
    readers = [_value_reader(part) for part in parts]

    def read_each(data: Any, where: str) -> tuple[Any, ...]:
        if len(_list(data, where)) != len(readers):
            raise DataFault(f"{where}: {len(readers)} items are needed")
        return tuple(read(item, where) for read, item in zip(readers, data, strict=True))

    return read_each


def _list(data: Any, where: str) -> list[Any]:
    if type(data) is not list:
        raise DataFault(f"{where}: a list is needed")
    return data


def _exactly(kind: type, name: str) -> Read:
    def read(data: Any, where: str) -> Any:
        if type(data) is not kind:
            raise DataFault(f"{where}: {name} is needed")
        return data

    return read


def _number(data: Any, where: str) -> Any:
    if type(data) is not float and type(data) is not int:
        raise DataFault(f"{where}: a number is needed")
    # A whole number beyond the floats overflows every sum that it enters, `isfinite` itself first.
    if not (abs(data) <= sys.float_info.max):
        raise DataFault(f"{where}: a finite number is needed")
    return data


_PLAIN: dict[Any, Read] = {
    str: _exactly(str, "a text"),
    int: _exactly(int, "a whole number"),
    bool: _exactly(bool, "true or false"),
    float: _number,
}
