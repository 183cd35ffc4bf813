"""Which bytes are a line of a journal, and which are not."""

from __future__ import annotations

import hashlib
import json
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.batch.moment import Moment
from runner.record import sshsig
from runner.record.lines import (
    DEEPEST,
    GENESIS,
    LONGEST_LINE,
    Line,
    LineFault,
    dump,
    line_hash,
    parse,
    raw_lines,
    unsigned_bytes,
)
from support.journals import moment, signer

PLAIN = Line(1, moment(1.5), "noted", {"text": "even, bright", "area_dm2": 12.5}, "op-1", GENESIS)
RAW = (
    b'{"seq":1,"at":"2026-01-01T10:00:01.500Z","boot":"boot-1","up":1500,"kind":"noted",'
    b'"data":{"text":"even, bright","area_dm2":12.5},"who":"op-1","prev":"' + b"0" * 64 + b'"}\n'
)

whole_text = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
plain_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | whole_text,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(whole_text, inner, max_size=3),
    max_leaves=12,
)
lines = st.builds(
    Line,
    seq=st.integers(1, 2**53),
    moment=st.builds(
        Moment,
        at_ms=st.integers(0, 4_000_000_000_000),
        boot=st.from_regex(r"[A-Za-z0-9-]{1,64}", fullmatch=True),
        up_ms=st.integers(0, 2**53),
    ),
    kind=st.from_regex(r"[a-z][a-z0-9-]{0,63}", fullmatch=True),
    data=st.dictionaries(whole_text, plain_json, max_size=4),
    who=st.just("") | st.from_regex(r"[a-z][a-z0-9-]{1,31}", fullmatch=True),
    prev=st.from_regex(r"[0-9a-f]{64}", fullmatch=True),
    sig=st.none() | st.just(signer().sign(b"x")),
)


def test_a_line_is_the_bytes_it_is_said_to_be() -> None:
    """Compact JSON in ASCII, keys in their order, ended by a newline."""
    assert dump(PLAIN) == RAW
    assert parse(RAW) == PLAIN


@given(lines)
def test_every_line_reads_back_whole(line: Line) -> None:
    """Dumping and parsing loses nothing, for any text, number and nesting within bounds."""
    raw = dump(line)
    assert raw.isascii()
    assert raw.endswith(b"\n")
    assert raw.count(b"\n") == 1
    assert parse(raw) == line
    assert list(json.loads(raw)) == [
        *("seq", "at", "boot", "up", "kind", "data", "who", "prev"),
        *(["sig"] if line.sig else []),
    ]


@given(lines)
def test_the_signature_covers_the_line_without_itself(line: Line) -> None:
    """What is signed is the line with ``,"sig":"…"`` and the newline taken out, and nothing else."""
    raw = dump(line)
    without = re.sub(rb',"sig":"[^"]*"}\n$', b"}\n", raw) if line.sig else raw
    assert unsigned_bytes(line) == without.removesuffix(b"\n")


def test_the_hash_is_sha256_of_the_bytes_with_the_newline() -> None:
    """As any stock tool computes it over the line as it stands in the file."""
    assert line_hash(RAW) == hashlib.sha256(RAW).hexdigest()


def changed(**fields: Any) -> bytes:
    """`RAW` with fields changed, dumped in the same way."""
    return json.dumps(json.loads(RAW) | fields, separators=(",", ":")).encode() + b"\n"


def deep(levels: int) -> dict[str, Any]:
    """Data of so many objects inside each other."""
    data: dict[str, Any] = {}
    for _ in range(levels - 1):
        data = {"in": data}
    return data


REFUSED = {
    "a blank": (RAW.replace(b'"seq":1', b'"seq": 1'), "other bytes"),
    "a key more": (RAW.replace(b"}\n", b',"more":1}\n'), "other bytes"),
    "a key twice": (RAW.replace(b'"seq":1', b'"seq":1,"seq":1'), "other bytes"),
    "a key twice in data": (RAW.replace(b'"text"', b'"text":"x","text"'), "other bytes"),
    "keys in another order": (
        RAW.replace(b'"kind":"noted",', b"").replace(b"}\n", b',"kind":"noted"}\n'),
        "other",
    ),
    "a number spelled otherwise": (RAW.replace(b"12.5", b"12.50"), "other bytes"),
    "a whole number with an exponent": (RAW.replace(b"12.5", b"1e1"), "other bytes"),
    "a letter escaped without need": (RAW.replace(b"even", b"\\u0065ven"), "other bytes"),
    "an escape in capitals": (RAW.replace(b"even", b"\\u00B5m"), "other bytes"),
    "a slash escaped": (RAW.replace(b"even", b"\\/"), "other bytes"),
    "not a number": (RAW.replace(b"12.5", b"NaN"), "cannot be written"),
    "infinity": (RAW.replace(b"12.5", b"Infinity"), "cannot be written"),
    "a number too large": (RAW.replace(b"12.5", b"1e999"), "cannot be written"),
    "a number of 5000 digits": (RAW.replace(b"12.5", b"1" * 5000), "not JSON"),
    "a letter outside ASCII": (RAW.replace(b"even", "µ".encode()), "ASCII"),
    "no newline": (RAW[:-1], "newline"),
    "a return before the newline": (RAW[:-1] + b"\r\n", "other bytes"),
    "two newlines": (RAW + b"\n", "other bytes"),
    "nothing": (b"\n", "not JSON"),
    "no object": (b"[]\n", "no object"),
    "broken off": (RAW[:40] + b"\n", "not JSON"),
    "nested beyond the stack": (b"[" * 100_000 + b"\n", "not JSON"),
    "nested too deep": (changed(data=deep(DEEPEST + 1)), "nested"),
    "half a character": (RAW.replace(b"even", b"\\ud83d"), "half a character"),
    "too long": (changed(data={"text": "x" * LONGEST_LINE}), "most"),
    "number 0": (changed(seq=0), "seq"),
    "a number that is true": (changed(seq=True), "seq"),
    "a number that is text": (changed(seq="1"), "seq"),
    "a number with a fraction": (changed(seq=1.0), "seq"),
    "a number beyond doubles": (changed(seq=2**53 + 1), "seq"),
    "uptime below nothing": (changed(up=-1), "up"),
    "uptime in seconds": (changed(up=1.5), "up"),
    "a time without milliseconds": (changed(at="2026-01-01T10:00:01Z"), "at"),
    "a time elsewhere": (changed(at="2026-01-01T10:00:01.500+00:00"), "at"),
    "no such day": (changed(at="2026-02-30T10:00:01.500Z"), "at"),
    "no time": (changed(at=None), "at"),
    "no boot": (changed(boot=""), "boot"),
    "a kind in capitals": (changed(kind="Noted"), "kind"),
    "a kind with a newline": (changed(kind="noted\n"), "kind"),
    "data as a list": (changed(data=[]), "data"),
    "a person in capitals": (changed(who="Op-1"), "who"),
    "a person as nothing": (changed(who=None), "who"),
    "a hash in capitals": (changed(prev="A" * 64), "prev"),
    "a hash too short": (changed(prev="0" * 63), "prev"),
    "a signature that is nothing": (changed(sig=None), "sig"),
    "a signature with a blank": (changed(sig="AAAA AAAA"), "sig"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_line_that_differs_in_one_thing_is_refused(name: str) -> None:
    """Each way in which a line may differ from what is dumped is refused, and the reason says which."""
    raw, reason = REFUSED[name]
    assert raw != RAW
    with pytest.raises(LineFault, match=reason):
        parse(raw)


@pytest.mark.parametrize("key", ["seq", "at", "boot", "up", "kind", "data", "who", "prev"])
def test_a_line_without_one_of_its_keys_is_refused(key: str) -> None:
    """Every key but ``sig`` must stand in a line."""
    fields = json.loads(RAW)
    del fields[key]
    with pytest.raises(LineFault, match=key):
        parse(json.dumps(fields, separators=(",", ":")).encode() + b"\n")


def test_data_may_be_nested_as_deep_as_it_is_said() -> None:
    """The bound itself is taken, and a flat line of many lists is not counted as a deep one."""
    assert parse(changed(data=deep(DEEPEST))).data == deep(DEEPEST)
    flat = {"readings": [[number] for number in range(100)]}
    assert parse(changed(data=flat)).data == flat


def test_a_whole_character_of_two_halves_is_taken() -> None:
    """A letter outside the first 65,536 is written as two escapes and is no fault."""
    line = PLAIN._replace(data={"text": "\N{HORSE}"})
    assert parse(dump(line)) == line


@pytest.mark.parametrize("value", [float("nan"), float("inf"), {1, 2}, b"bytes", object()])
def test_what_json_cannot_say_is_not_written(value: object) -> None:
    """A figure that is no number, or no JSON at all, is refused before it comes to a disk."""
    with pytest.raises(LineFault, match="cannot be written"):
        dump(PLAIN._replace(data={"value": value}))


@given(st.binary(max_size=200))
def test_no_bytes_do_more_than_be_refused(raw: bytes) -> None:
    """Any bytes are a line or a fault with a reason; nothing else is raised."""
    try:
        assert dump(parse(raw)) == raw
    except LineFault as fault:
        assert fault.reason  # noqa: PT017 - both ends are proved, so neither may be demanded


@given(st.lists(st.binary(max_size=8)))
def test_cutting_into_lines_loses_no_byte(parts: list[bytes]) -> None:
    """Lines end at newlines only, never at a return, and together with the rest they are the file."""
    content = b"\n".join(parts)
    raws, rest = raw_lines(content)
    assert b"".join(raws) + rest == content
    assert all(raw.endswith(b"\n") and raw.count(b"\n") == 1 for raw in raws)
    assert b"\n" not in rest


def test_a_signed_line_is_checked_with_what_it_holds() -> None:
    """A line read from its bytes has everything that its signature needs."""
    line = PLAIN._replace(sig=signer().sign(unsigned_bytes(PLAIN)))
    read = parse(dump(line))
    assert read.sig is not None
    found = sshsig.check(sshsig.decode64(read.sig), "journal-line@tankwalk", unsigned_bytes(read))
    assert found == signer().public
