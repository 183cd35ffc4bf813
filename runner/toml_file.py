"""A TOML file, read so that nothing in it can hurt what comes after.

Owns what may be read at all: size, encoding, characters, depth, length; and the line on which each value
stands. Must not know what any key means.

Refused, in this order, each with file and line where there is one:

- what is not there, is no plain file, or may not be read;
- a file over `LARGEST` bytes, of which no more than that is read;
- bytes that are no UTF-8, and control or bidirectional characters, before the text is parsed;
- keys and lists nested too deep, before the text is parsed;
- what is no TOML;
- control or bidirectional characters written as escapes, and texts and keys over 500 characters;
- a file that says nothing.
"""

from __future__ import annotations

import errno
import re
import stat
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path as FilePath
from typing import Any

from runner.faults import Fault, InputFault, fault
from runner.text import LONGEST, first_unfit, shown, unfit
from runner.toml_scan import Path, lines_of

LARGEST = 256_000
"""Most bytes of a file."""

MOST_FAULTS = 20
"""Most faults of one file that are told at once."""

_PLACE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")


@dataclass(frozen=True, slots=True)
class Document:
    """A file that parsed.

    Attributes:
        file: Its name as faults say it.
        raw: Its bytes, as they were hashed or kept.
        text: Its text, with plain newlines.
        data: What it says, as plain tables, lists and values.
    """

    file: str
    raw: bytes
    text: str
    data: dict[str, Any]
    _lines: dict[Path, int] = field(repr=False)

    def line_of(self, path: Path) -> int | None:
        """The line of a value, counted from 1, or of the nearest thing around it that has one.

        Args:
            path: Keys and list positions from 0, such as ``("step", 3, "deposit", "thickness")``.
        """
        for length in range(len(path), 0, -1):
            line = self._lines.get(path[:length])
            if line is not None:
                return line
        return None


def load(path: FilePath, name_shown: str | None = None) -> Document:
    """Read and parse a file.

    Args:
        path: The file; a link is followed.
        name_shown: What faults call it; the path as given where left out.

    Raises:
        InputFault: Anything that the head of this module lists.
    """
    file = shown(path if name_shown is None else name_shown)
    return parse(_bytes(path, file), file)


def parse(written: bytes | str, file: str) -> Document:
    """Parse the bytes of a file that somebody else has read, or a text.

    Args:
        written: The bytes; a text stands for its UTF-8.
        file: What faults call them.

    Raises:
        InputFault: Anything that the head of this module lists but what concerns the disk.
    """
    # A text from elsewhere may hold half a character; it is refused below as any file's would be.
    raw = written.encode("utf-8", "surrogatepass") if isinstance(written, str) else written
    if len(raw) > LARGEST:
        raise fault(f"larger than {LARGEST // 1000} kB", "split it, or take out what is no procedure", file)
    text = _text(raw, file)
    lines = lines_of(text, file)
    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError) as broken:
        raise _no_toml(broken, text, file) from broken
    document = Document(file, raw, text, data, lines)
    if not data:
        raise fault(
            "there is nothing in it",
            'start with the line "format = 1"; `tankwalk init DIR` writes example files',
            file,
            1,
        )
    if faults := list(islice(_unfit_texts(document), MOST_FAULTS)):
        raise InputFault(*faults)
    return document


def at_most(faults: list[Fault]) -> list[Fault]:
    """The first `MOST_FAULTS` of a file, with a last line that counts the others."""
    more = len(faults) - MOST_FAULTS
    if more <= 0:
        return faults
    rest = Fault(f"and {more} more", "mend these first, then check again", faults[0].file)
    return [*faults[:MOST_FAULTS], rest]


def _bytes(path: FilePath, file: str) -> bytes:
    try:
        # A pipe or a device would block or never end, so the kind is asked before it is opened.
        kind = path.stat().st_mode
        if stat.S_ISDIR(kind):
            raise fault("is a folder", "name a file in it", file)
        if not stat.S_ISREG(kind):
            raise fault("is no plain file", "name a TOML file", file)
        with path.open("rb") as opened:
            return opened.read(LARGEST + 1)
    except OSError as broken:
        raise _not_read(broken, file) from broken
    except ValueError as broken:
        raise fault("is no file name", "name a TOML file", file) from broken


def _not_read(broken: OSError, file: str) -> InputFault:
    if broken.errno in {errno.ENOENT, errno.ENOTDIR}:
        return fault("no such file", "check the name, or write the file first", file)
    if broken.errno in {errno.EACCES, errno.EPERM}:
        return fault("may not be read by you", "give yourself the right to read it", file)
    if broken.errno == errno.ELOOP:
        return fault("is a link that leads back to itself", "put the file itself there", file)
    if broken.errno == errno.ENAMETOOLONG:
        return fault("the name is too long", "give it a shorter name", file)
    reason = shown(broken.strerror or type(broken).__name__)
    return fault(f"cannot be read ({reason})", "check the disk and the name", file)


def _text(raw: bytes, file: str) -> str:
    nul = raw.find(0)
    if nul >= 0:
        line = raw.count(b"\n", 0, nul) + 1
        raise fault("is binary, no text", "save it as plain text in UTF-8", file, line)
    try:
        # Editors on some systems put a byte order mark in front and end lines with two characters.
        text = raw.decode().removeprefix("\ufeff").replace("\r\n", "\n")
    except UnicodeDecodeError as broken:
        line = raw.count(b"\n", 0, broken.start) + 1
        raise fault(
            f"byte 0x{raw[broken.start]:02X} is no UTF-8", "save the file as UTF-8", file, line
        ) from broken
    found = first_unfit(text)
    if found:
        line = text.count("\n", 0, found.start()) + 1
        raise fault(f"control character U+{ord(found.group()):04X}", "take it out", file, line)
    return text


def _no_toml(broken: Exception, text: str, file: str) -> InputFault:
    said = str(broken)
    place = _PLACE.search(said)
    if not isinstance(broken, tomllib.TOMLDecodeError) or not place:
        return fault("does not read as TOML", "compare it with an example file", file)
    line = int(place.group(1)) if place.group(1) else text.rstrip("\n").count("\n") + 1
    what = shown(said[: place.start()], 200)
    return fault(
        f"does not read as TOML: {what[:1].lower()}{what[1:]}",
        "compare the line with an example file",
        file,
        line,
    )


def _unfit_texts(document: Document) -> Iterator[Fault]:
    """Faults of keys and texts as they read once escapes are resolved, in the order of the file."""
    waiting: list[tuple[Path, Any]] = [((), document.data)]
    while waiting:
        path, value = waiting.pop()
        if isinstance(value, dict):
            for key in value:
                if why := unfit(key):
                    yield _unfit_fault(document, (*path, key), "key", key, why)
            waiting.extend(((*path, key), item) for key, item in reversed(value.items()))
        elif isinstance(value, list):
            waiting.extend(((*path, place), item) for place, item in reversed(list(enumerate(value))))
        elif isinstance(value, str) and (why := unfit(value, lines=True)):
            yield _unfit_fault(document, path, "text", value, why)


def _unfit_fault(document: Document, path: Path, kind: str, text: str, why: str) -> Fault:
    remedy = "shorten it" if len(text) > LONGEST else "take the character out"
    return Fault(f"a {kind} with {why}", remedy, document.file, document.line_of(path))
