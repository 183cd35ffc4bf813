"""The TOML of record format 1: how its tables are laid out, to the byte.

Owns the layout, and so a record made years ago comes out the same whatever a library has learnt since. It
is that of `tomli_w`, which the tests hold it to, for the values that a record has: texts, numbers, lists of
them, and tables whose keys need no quotes. Must not know what a record says.
"""

from __future__ import annotations

import re
from typing import Any

Table = dict[str, Any]

LONGEST_ROW = 100
"""Most characters of a table that is written on one row, its indent and comma included."""

_INDENT = "    "
_ESCAPED = re.compile(r'[\x00-\x08\x0a-\x1f\x7f"\\]')
_SHORT = {"\b": "\\b", "\n": "\\n", "\f": "\\f", "\r": "\\r", '"': '\\"', "\\": "\\\\"}


def toml(record: Table) -> str:
    """A record's text."""
    return "\n".join(_blocks(record, "", ""))


def _blocks(table: Table, name: str, head: str) -> list[str]:
    """A table and those in it, a block each; a blank row parts them."""
    rows: list[str] = []
    inner: list[str] = []
    prefix = f"{name}." if name else ""
    for key, value in table.items():
        if type(value) is str:
            rows.append(f'{key} = "{_ESCAPED.sub(_escape, value)}"\n')
        elif type(value) is dict:
            inner += _blocks(value, prefix + key, f"[{prefix}{key}]\n")
        elif type(value) is list and (tables := _spread(value)):
            for one in tables:
                inner += _blocks(one, prefix + key, f"[[{prefix}{key}]]\n")
        else:
            rows.append(f"{key} = {_value(value)}\n")
    if rows or head.startswith("[[") or not inner:
        inner.insert(0, head + "".join(rows))
    return inner


def _spread(items: list[Any]) -> list[Table]:
    """The tables of a list that get a block each; none where it holds values, or nothing but short tables."""
    if not items or type(items[0]) is not dict or all(_fits(_value(item)) for item in items):
        return []
    return items


def _fits(row: str) -> bool:
    return len(_INDENT) + len(row) + len(",") <= LONGEST_ROW and "\n" not in row


def _value(value: Any, indent: str = "") -> str:
    """A value as it stands after its key, or in a list of that indent."""
    if isinstance(value, str):
        return f'"{_ESCAPED.sub(_escape, value)}"'
    if type(value) is int or type(value) is float:
        return str(value)
    if type(value) is dict:
        fields = ", ".join([f"{key} = {_value(inner)}" for key, inner in value.items()])
        return f"{{ {fields} }}" if fields else "{}"
    if type(value) is not list:
        raise TypeError(f"a record holds no {type(value).__name__}")
    deeper = indent + _INDENT
    rows = "".join([f"{deeper}{_value(item, deeper)},\n" for item in value])
    return f"[\n{rows}{indent}]" if rows else "[]"


def _escape(found: re.Match[str]) -> str:
    char = found[0]
    return _SHORT.get(char) or f"\\u{ord(char):04x}"
