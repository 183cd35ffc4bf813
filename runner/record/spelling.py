"""JSON data and its one spelling: compact, in ASCII, as the standard library's encoder writes it.

Owns that spelling, and the reading of a text that must have it. Two programs can then not read two things in
one text: a second key of the same name, a blank or another spelling of a number has no room.

Whoever proves a year of journals mostly reads, so texts are read and written again by `msgspec`. It writes
as the standard library does but for floats, which are compared one by one, and for one character.
"""

from __future__ import annotations

import codecs
import json
from typing import Any

import msgspec

_OWN = json.JSONEncoder(ensure_ascii=True, allow_nan=False, check_circular=False, separators=(",", ":"))

_DELETE = "\x7f"
"""The one ASCII character that the standard library escapes and `msgspec` does not."""


def spelled(data: Any) -> str:
    """The one spelling of data.

    Raises:
        TypeError: JSON cannot say it.
        ValueError: It holds a number that is not finite.
        RecursionError: It is nested beyond the stack.
    """
    return _OWN.encode(data)


def unspelled(text: str) -> Any:
    """The data whose one spelling a text is.

    Raises:
        ValueError: It is no JSON, or spelled otherwise.
        RecursionError: It is nested beyond the stack.
    """
    try:
        data = _READER.decode(text)
        if _DELETE not in text and _quickly(data) == text.encode("ascii"):
            return data
    except msgspec.MsgspecError as error:
        raise ValueError(str(error)) from error
    if spelled(data) != text:
        raise ValueError("writing it again gives another text")
    return data


def _quickly(data: Any) -> bytes:
    """The one spelling of data without that one character, whose floats `msgspec` happens to write so too."""
    text = _WRITER.encode(data)
    return text if text.isascii() else text.decode("utf-8").encode("ascii", _ESCAPED)


def _float(text: str) -> float:
    value = float(text)
    if repr(value) != text:
        raise ValueError(f"{text} is not the one spelling of {value!r}")
    return value


def _escaped(error: UnicodeError) -> tuple[str, int]:
    """What stands for characters beyond ASCII: the units of their UTF-16, as RFC 8259, section 7 has it."""
    assert isinstance(error, UnicodeEncodeError)
    units = error.object[error.start : error.end].encode("utf-16-be")
    return "".join([f"\\u{units[at : at + 2].hex()}" for at in range(0, len(units), 2)]), error.end


_ESCAPED = "json-in-ascii"
codecs.register_error(_ESCAPED, _escaped)

_READER = msgspec.json.Decoder(float_hook=_float)
_WRITER = msgspec.json.Encoder()
