"""Where each key of a TOML text stands, and how deep it goes.

Owns a single linear pass over the text, made before it is parsed: the standard parser tells no lines, and
a hostile key keeps it busy for minutes. Must not decide what is valid TOML: the pass is laxer than the
grammar everywhere, so where it gives up the parser refuses the text at that place or before.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from contextlib import suppress

from runner.faults import fault
from runner.text import LONGEST

DEEPEST = 32
"""Most parts a key may have, and most levels that tables and lists may be nested."""

Path = tuple[str | int, ...]
"""Where a value stands: keys, and list positions counted from 0, such as ``("step", 3, "dwell")``."""

_SPACE = re.compile(r"[ \t\n]*(?:#[^\n]*[ \t\n]*)*")
_BLANK = re.compile(r"[ \t]*")
_KEY_PART = re.compile(r""""[^"\\\n]*(?:\\.[^"\\\n]*)*"|'[^'\n]*'|[^\s=.,#"'\[\]{}]+""")
_LONG_BASIC = re.compile(r'"""[^"\\]*(?:(?:\\.|"(?!""))[^"\\]*)*"{3,5}', re.DOTALL)
_LONG_LITERAL = re.compile(r"'''[^']*(?:'(?!'')[^']*)*'{3,5}")
_BASIC = re.compile(r'"[^"\\\n]*(?:\\.[^"\\\n]*)*"')
_LITERAL = re.compile(r"'[^'\n]*'")
_PLAIN = re.compile(r"[^,\]}#\n]*")


class _GaveUpError(Exception):
    """No TOML parser reads on from here either."""


class _Scan:
    """One pass over one text."""

    def __init__(self, text: str, file: str) -> None:
        self.text = text
        self.file = file
        self.at = 0
        self.lines: dict[Path, int] = {}
        self._starts = [0, *(found.end() for found in re.finditer("\n", text))]
        self._tables: dict[Path, int] = {}

    def document(self) -> None:
        """Headers and keys, one after the other, to the end of the text."""
        inside: Path = ()
        while True:
            self._skip(_SPACE)
            if self.at == len(self.text):
                return
            if self.text[self.at] == "[":
                inside = self._header()
            else:
                self._pair(inside)

    def _header(self) -> Path:
        start = self.at
        repeated = self.text.startswith("[[", self.at)
        self.at += 2 if repeated else 1
        parts = self._key(())
        self._take("]]" if repeated else "]")
        path: Path = ()
        for number, part in enumerate(parts, 1):
            path = (*path, part)
            self._stands(path, start)
            if repeated and number == len(parts):
                self._tables[path] = self._tables.get(path, 0) + 1
            if path in self._tables:
                path = (*path, self._tables[path] - 1)
                self._stands(path, start)
        return path

    def _pair(self, inside: Path) -> None:
        start = self.at
        path = inside
        for part in self._key(inside):
            path = (*path, part)
            self._stands(path, start)
        self._take("=")
        self._skip(_BLANK)
        self._value(path)

    def _key(self, inside: Path) -> list[str]:
        parts: list[str] = []
        while True:
            self._skip(_BLANK)
            found = _KEY_PART.match(self.text, self.at)
            if not found:
                raise _GaveUpError
            parts.append(_plain_key(found.group()))
            self._bounded(len(inside) + len(parts))
            self.at = found.end()
            self._skip(_BLANK)
            if not self.text.startswith(".", self.at):
                return parts
            self.at += 1

    def _value(self, path: Path) -> None:
        first = self.text[self.at : self.at + 1]
        if first == "[":
            self._list(path)
        elif first == "{":
            self._inline_table(path)
        elif first in {'"', "'"}:
            self._string(first)
        else:
            start = self.at
            self._skip(_PLAIN)
            if self.at - start > LONGEST:
                raise fault(
                    f"a value of {self.at - start} characters, where {LONGEST} are the most",
                    "shorten it",
                    self.file,
                    self._line(start),
                )

    def _list(self, path: Path) -> None:
        self._bounded(len(path) + 1)
        self.at += 1
        place = 0
        while not self._closed("]"):
            self._stands((*path, place), self.at)
            self._value((*path, place))
            place += 1
            self._next("]")

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        while not self._closed("}"):
            self._pair(path)
            self._next("}")

    def _string(self, quote: str) -> None:
        if self.text.startswith(quote * 3, self.at):
            pattern = _LONG_BASIC if quote == '"' else _LONG_LITERAL
        else:
            pattern = _BASIC if quote == '"' else _LITERAL
        found = pattern.match(self.text, self.at)
        if not found:
            raise _GaveUpError
        self.at = found.end()

    def _closed(self, bracket: str) -> bool:
        self._skip(_SPACE)
        if self.text.startswith(bracket, self.at):
            self.at += 1
            return True
        return False

    def _next(self, bracket: str) -> None:
        self._skip(_SPACE)
        if not self.text.startswith(bracket, self.at):
            self._take(",")

    def _take(self, sign: str) -> None:
        if not self.text.startswith(sign, self.at):
            raise _GaveUpError
        self.at += len(sign)

    def _skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self.text, self.at)
        if found:
            self.at = found.end()

    def _stands(self, path: Path, position: int) -> None:
        if path not in self.lines:
            self.lines[path] = self._line(position)

    def _line(self, position: int) -> int:
        return bisect_right(self._starts, position)

    def _bounded(self, depth: int) -> None:
        if depth > DEEPEST:
            raise fault(
                f"a key or list nested over {DEEPEST} deep",
                "write it flat, as the example files do",
                self.file,
                self._line(self.at),
            )


def _plain_key(written: str) -> str:
    """A part of a key without its quotes and escapes."""
    if written[0] == '"':
        try:
            return str(tomllib.loads(f"key = {written}")["key"])
        except tomllib.TOMLDecodeError as broken:
            raise _GaveUpError from broken
    return written.strip("'")


def lines_of(text: str, file: str) -> dict[Path, int]:
    """The line, counted from 1, of every header, key and list item of a text.

    Args:
        text: TOML with plain newlines, valid or not; after a mistake the rest has no lines.
        file: What faults call it.

    Raises:
        InputFault: A key or a list nested over `DEEPEST` deep, or a number over `LONGEST` characters.
    """
    scan = _Scan(text, file)
    with suppress(_GaveUpError):
        scan.document()
    return scan.lines
