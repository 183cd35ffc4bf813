"""What is one line of a journal?

Owns the bytes of a line, and which bytes are one. Must not know what a line tells, who may sign it, or the
disk. A line is taken only where parsing and dumping it gives the same bytes (`runner.record.spelling`).
"""

from __future__ import annotations

import hashlib
import json
import re
from typing import Any, NamedTuple

from runner.batch.moment import Moment, from_rfc3339, rfc3339
from runner.record.spelling import spelled, unspelled

GENESIS = "0" * 64
"""What line 1 names as the line before it."""

LONGEST_LINE = 4 * 1024 * 1024
"""Most bytes of a line: line 1 holds the plan and a route's text (256 kB, in ASCII up to thrice that)."""

MOST_LINES = 200_000
"""Most lines of a journal that are read: bounds what a file of nothing but newlines could cost."""

LONGEST_JOURNAL = 256 * 1024 * 1024
"""Most bytes of a journal that are read: a long walk takes about one million."""

DEEPEST = 32
"""Most objects and lists inside each other."""

_LARGEST = 2**53  # beyond it, readers that keep numbers as doubles lose whole counts

_KIND = re.compile(r"[a-z][a-z0-9-]{0,63}")
_WHO = re.compile(r"(?:[a-z][a-z0-9-]{1,63})?")
_BOOT = re.compile(r"[A-Za-z0-9-]{1,64}")
_HASH = re.compile(r"[0-9a-f]{64}")
_SIG = re.compile(r"[A-Za-z0-9+/]{4,1000}={0,2}")

# The two ends of a line, around its data: each field has one spelling there, so what matches is canonical.
_BEFORE_DATA = re.compile(
    r'\{"seq":([1-9][0-9]{0,15}),"at":"([^"]*)",'
    rf'"boot":"({_BOOT.pattern})","up":(0|[1-9][0-9]{{0,15}}),"kind":"({_KIND.pattern})","data":'
)
_WHO_KEY = ',"who":"'
_AFTER_DATA = re.compile(
    rf'{_WHO_KEY}({_WHO.pattern})","prev":"({_HASH.pattern})"(?:,"sig":"({_SIG.pattern})")?\}}\n'
)

_SIG_TAIL = b',"sig":""}\n'


class LineFault(Exception):
    """Bytes that are no line of a journal.

    Attributes:
        reason: What is wrong with them, without a full stop.
    """

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class Line(NamedTuple):
    """One line of a journal.

    Attributes:
        seq: Its number, from 1.
        moment: When it was written.
        kind: What sort of thing it tells, such as ``step-entered``.
        data: What it tells: plain JSON.
        who: ID of the person, or empty where nobody is known.
        prev: Lower-case hex SHA-256 of the line before it, newline included; `GENESIS` on line 1.
        sig: Base64 SSHSIG blob over `unsigned_bytes`, or None where no key was unlocked.
    """

    seq: int
    moment: Moment
    kind: str
    data: dict[str, Any]
    who: str
    prev: str
    sig: str | None = None


def unsigned_bytes(line: Line) -> bytes:
    """What the signature of a line covers: the line without ``,"sig":"…"`` and without its newline.

    Raises:
        LineFault: The line holds what JSON cannot say.
    """
    try:
        return spelled(
            {
                "seq": line.seq,
                "at": rfc3339(line.moment.at_ms),
                "boot": line.moment.boot,
                "up": line.moment.up_ms,
                "kind": line.kind,
                "data": line.data,
                "who": line.who,
                "prev": line.prev,
            }
        ).encode("ascii")
    except (TypeError, ValueError, RecursionError) as error:
        raise LineFault(f"it cannot be written: {error}") from error


def signed_bytes(raw: bytes, line: Line) -> bytes:
    """`unsigned_bytes` of a line that was parsed from these bytes, cut from them instead of written again."""
    if line.sig is None:
        return raw[:-1]
    return raw[: -len(_SIG_TAIL) - len(line.sig)] + b"}"


def dump(line: Line) -> bytes:
    """The bytes of a line, newline included: compact JSON in ASCII, ``sig`` the last key.

    Raises:
        LineFault: The line holds what JSON cannot say.
    """
    body = unsigned_bytes(line)
    if line.sig is None:
        return body + b"\n"
    return body[:-1] + b',"sig":' + spelled(line.sig).encode("ascii") + b"}\n"


def parse(raw: bytes) -> Line:
    """Read one line, newline included.

    Raises:
        LineFault: Anything but the very bytes that `dump` gives for a line whose every field is in bounds.
    """
    if len(raw) > LONGEST_LINE:
        raise LineFault(f"{len(raw)} bytes, where {LONGEST_LINE} are the most")
    if not raw.endswith(b"\n"):
        raise LineFault("it does not end in a newline")
    try:
        text = raw.decode("ascii")
        line = _canonical(text)
    except UnicodeDecodeError as error:
        raise LineFault(f"byte {error.start + 1} is not ASCII") from error
    except (ValueError, RecursionError):
        line = None
    if line is None:
        raise LineFault(_why_not(text))
    return line


def _canonical(text: str) -> Line | None:
    """A line from its text, or None where writing it again would not give that text.

    Only data has to be written again for that: the two ends around it match in one spelling alone.

    Raises:
        LineFault: It would, and data holds what a reader or a renderer could choke on.
        ValueError: The data is no JSON or cannot be written, or the time is none.
        RecursionError: The data is nested beyond the stack.
    """
    before = _BEFORE_DATA.match(text)
    if before is None:
        return None
    begin = before.end()
    end = text.rindex(_WHO_KEY, begin)
    after = _AFTER_DATA.fullmatch(text, end)
    if after is None:
        return None
    told = text[begin:end]
    data = unspelled(told)
    if type(data) is not dict:
        return None
    seq, at, boot, up, kind = before.groups()
    who, prev, sig = after.groups()
    if int(seq) > _LARGEST or int(up) > _LARGEST:
        return None
    _check_data(data, told)
    return Line(int(seq), Moment(from_rfc3339(at), boot, int(up)), kind, data, who, prev, sig)


def _why_not(text: str) -> str:
    """What is wrong with a text that is no line, for the person who reads the finding."""
    try:
        fields = json.loads(text)
    except (ValueError, RecursionError) as error:
        return f"it is not JSON: {error}"
    if not isinstance(fields, dict):
        return "it is JSON, but no object"
    try:
        dump(_line(fields))
        json.dumps(fields, ensure_ascii=False).encode("utf-8")
    except LineFault as fault:
        return fault.reason
    except UnicodeEncodeError:
        return "data holds half a character (a lone surrogate)"
    return "writing it again gives other bytes"


def raw_lines(content: bytes) -> tuple[list[bytes], bytes]:
    """The lines of a journal's bytes, each with its newline, and what stands after the last newline."""
    *bodies, rest = content.split(b"\n")
    return [body + b"\n" for body in bodies], rest


def line_hash(raw: bytes) -> str:
    """Lower-case hex SHA-256 of a line's bytes, newline included."""
    return hashlib.sha256(raw).hexdigest()


def _line(fields: dict[str, Any]) -> Line:
    """A line of checked fields. Keys beyond ours fall away, and so show in the comparison of bytes."""
    try:
        at_ms = from_rfc3339(_text(fields, "at"))
    except ValueError as error:
        raise LineFault(f"at is no time of the form YYYY-MM-DDTHH:MM:SS.mmmZ: {error}") from error
    data = fields.get("data")
    if not isinstance(data, dict):
        raise LineFault("data is no object")
    return Line(
        seq=_count(fields, "seq", 1),
        moment=Moment(at_ms, _text(fields, "boot", _BOOT), _count(fields, "up", 0)),
        kind=_text(fields, "kind", _KIND),
        data=data,
        who=_text(fields, "who", _WHO),
        prev=_text(fields, "prev", _HASH),
        sig=_text(fields, "sig", _SIG) if "sig" in fields else None,
    )


def _text(fields: dict[str, Any], key: str, form: re.Pattern[str] | None = None) -> str:
    value = fields.get(key)
    if not isinstance(value, str):
        raise LineFault(f"{key} is no text")
    if form is not None and not form.fullmatch(value):
        raise LineFault(f"{key} is not of its form")
    return value


def _count(fields: dict[str, Any], key: str, least: int) -> int:
    value = fields.get(key)
    if type(value) is not int or not least <= value <= _LARGEST:
        raise LineFault(f"{key} is no whole number from {least}")
    return value


def _check_data(data: dict[str, Any], told: str) -> None:
    """Refuse data that a reader could choke on; the counts spare most lines the walk."""
    if told.count("{") + told.count("[") > DEEPEST and _depth(data) > DEEPEST:
        raise LineFault(f"data is nested over {DEEPEST} deep")


def _depth(value: Any) -> int:
    """How deep objects and lists are nested; level by level, so that depth cannot exhaust the stack."""
    depth, level = 0, [value]
    while level := [item for item in level if type(item) is dict or type(item) is list]:
        depth += 1
        level = [inner for item in level for inner in (item.values() if type(item) is dict else item)]
    return depth
