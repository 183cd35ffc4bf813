"""Files are read so that nothing in them can hurt: size, characters, depth."""

from __future__ import annotations

import time
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.faults import Fault, InputFault
from runner.toml_file import LARGEST, MOST_FAULTS, Document, at_most, parse

SMALL = 'format = 1\ntitle = "Carousel"\n'


def refused(raw: bytes | str) -> Fault:
    """The first fault of a text that must not be read."""
    with pytest.raises(InputFault) as caught:
        parse(raw.encode() if isinstance(raw, str) else raw, "route.toml")
    return caught.value.faults[0]


def read(raw: bytes) -> tuple[Document | None, tuple[Fault, ...]]:
    """Either a document or its faults."""
    try:
        return parse(raw, "f"), ()
    except InputFault as refusal:
        return None, refusal.faults


# What the bytes are


def test_the_size_limit_stands_where_it_says() -> None:
    """256 kB may be read, one byte more may not."""
    filled = SMALL.encode() + b"#" * (LARGEST - len(SMALL))
    assert parse(filled, "f").data["format"] == 1
    assert refused(filled + b"#").message == "larger than 256 kB"


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n", "\ufeff"])
def test_an_empty_file_says_what_to_write(text: str) -> None:
    """Nothing, white space and remarks alone say nothing."""
    assert str(refused(text)) == (
        'route.toml:1: there is nothing in it; start with the line "format = 1"; '
        "`tankwalk init DIR` writes example files"
    )


def test_binary_is_told_with_its_line() -> None:
    """A NUL byte marks a binary file."""
    found = refused(b"format = 1\n\x7fELF\x00\x00")
    assert (found.line, found.message) == (2, "is binary, no text")


def test_bytes_that_are_no_utf8_are_told_with_their_line() -> None:
    """The first byte that cannot be read is named, on its line."""
    found = refused('format = 1\n\ntitle = "Über"\n'.encode("latin-1"))
    assert (found.line, found.message, found.remedy) == (3, "byte 0xDC is no UTF-8", "save the file as UTF-8")


@pytest.mark.parametrize(
    ("character", "code"),
    [
        ("\x1b", "001B"),
        ("\x07", "0007"),
        ("\x7f", "007F"),
        ("\x9b", "009B"),
        ("\r", "000D"),
        ("\u202e", "202E"),
        ("\u2066", "2066"),
        ("\u200f", "200F"),
        ("\u2028", "2028"),
    ],
)
def test_control_and_bidirectional_characters_are_refused_raw_and_escaped(character: str, code: str) -> None:
    """Each can move the cursor or turn the reading order, whether typed or written as a TOML escape."""
    raw = refused(f'format = 1\ntitle = "a"\nname = "x{character}y"\n')
    assert (raw.line, raw.message) == (3, f"control character U+{code}")
    escaped = refused(f'format = 1\ntitle = "a"\nname = "x\\u{code}y"\n')
    assert (escaped.line, escaped.message) == (3, f"a text with control character U+{code} at character 2")
    key = refused(f'format = 1\ntitle = "a"\n"x\\u{code}y" = 1\n')
    assert (key.line, key.message) == (3, f"a key with control character U+{code} at character 2")


def test_half_a_character_in_a_text_is_a_fault() -> None:
    """A text handed over from elsewhere may hold a lone surrogate, which no file can."""
    with pytest.raises(InputFault, match="byte 0xED is no UTF-8"):
        parse('title = "\ud800"', "f")


def test_escapes_deep_in_lists_are_found_on_their_lines() -> None:
    """Every text is looked at, wherever it stands, and all are told at once."""
    text = 'format = 1\n[[step]]\ncheck = [\n  { ask = "x\\u001b" },\n  { ask = "y\\u009b" },\n]\n'
    with pytest.raises(InputFault) as caught:
        parse(text.encode(), "route.toml")
    assert [found.line for found in caught.value.faults] == [4, 5]


def test_a_key_holds_no_line_break() -> None:
    """A text may run over lines, a key may not."""
    assert parse(b'why = "one\\ntwo\\tthree"', "f").data["why"] == "one\ntwo\tthree"
    assert refused('"one\\ntwo" = 1').message == "a key with control character U+000A at character 4"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (f'title = "{"x" * 501}"', "a text with 501 characters, where 500 are the most"),
        (f"{'k' * 501} = 1", "a key with 501 characters, where 500 are the most"),
        (f"volume = {'9' * 501}", "a value of 501 characters, where 500 are the most"),
        (f'title = "{"x" * 10_000}"', "a text with 10000 characters, where 500 are the most"),
    ],
)
def test_long_texts_keys_and_numbers_are_refused_with_their_line(text: str, message: str) -> None:
    """500 characters are the most that a name, a sentence or a figure may have."""
    found = refused(f"format = 1\n{text}\n")
    assert (found.line, found.message) == (2, message)


def test_500_characters_may_stand() -> None:
    """The limit itself is allowed."""
    assert parse(f'{"k" * 500} = "{"x" * 500}"'.encode(), "f").data == {"k" * 500: "x" * 500}


def test_markup_is_text() -> None:
    """Square brackets mean nothing here: markup is kept as it stands."""
    assert parse(b'title = "[bold red]nickel[/]"', "f").data["title"] == "[bold red]nickel[/]"


def test_a_byte_order_mark_and_two_character_line_ends_are_read() -> None:
    """Editors of some systems write both; lines are counted the same."""
    document = parse(b'\xef\xbb\xbfformat = 1\r\n\r\ntitle = "a"\r\n', "f")
    assert document.data == {"format": 1, "title": "a"}
    assert document.line_of(("title",)) == 3


# What is no TOML


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("format = 1\ntitle = \n", 2),
        ("format = 1\ntitle\n", 2),
        ('format = 1\n\ntitle = "open\n', 3),
        ("format = 1\nformat = 2\n", 2),
        ('format = 1\n"a\\q" = 2\n', 2),
        ("format = 1\nday = 2024-99-99\n", 2),
        ("format = 1\n[step\n", 2),
        ("format = 1\na = [1, 2\n\n", 2),
    ],
)
def test_what_is_no_toml_is_told_with_its_line(text: str, line: int) -> None:
    """The parser's own place is kept, and its words stand in a sentence."""
    found = refused(text)
    assert found.line == line
    assert found.message.startswith("does not read as TOML: ")
    assert found.remedy == "compare the line with an example file"


@pytest.mark.parametrize("error", [RecursionError("too deep"), ValueError("digits")])
def test_a_parser_that_fails_otherwise_is_a_fault(error: Exception, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the parser raises for a text, the reader sees a fault."""

    def fails(_: str) -> None:
        raise error

    monkeypatch.setattr(tomllib, "loads", fails)
    assert refused(SMALL).message == "does not read as TOML"


HOSTILE = {
    "dotted key of 40 kB": ".".join("a" * 20_000) + " = 1",
    "dotted key of quoted parts": ".".join(['"a"'] * 10_000) + " = 1",
    "dotted key with blanks": " . ".join("a" * 10_000) + " = 1",
    "dotted header": "[" + ".".join("a" * 20_000) + "]",
    "dotted repeated header": "[[" + ".".join("a" * 20_000) + "]]",
    "dotted key in an inline table": "a = { " + ".".join("b" * 20_000) + " = 1 }",
    "dotted key after a long text": 'a = """\n"\n""\n\\""" """\n' + ".".join("b" * 20_000) + " = 1",
    "lists in lists": "a = " + "[" * 100_000,
    "tables in tables": "a = " + "{ b = " * 40_000,
    "lists and tables": "a = " + "[{ b = " * 30_000,
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
def test_depth_is_refused_before_the_parser_sees_it(text: str) -> None:
    """A 40 kB dotted key keeps the standard parser busy for minutes; the scan refuses it at once."""
    began = time.process_time()
    found = refused("format = 1\n" + text)
    assert time.process_time() - began < 0.1
    assert found.message == "a key or list nested over 32 deep"
    assert found.remedy == "write it flat, as the example files do"


def test_brackets_without_end_are_refused_at_once() -> None:
    """100 kB of opening brackets are no header."""
    began = time.process_time()
    assert refused("[" * 100_000).message.startswith("does not read as TOML: ")
    assert time.process_time() - began < 0.1


@pytest.mark.parametrize(
    "text",
    [
        "\n".join(".".join(["a"] * 31) + f".b{n} = 1" for n in range(3500)),
        "\n".join(f"[{'.'.join(['a'] * 31)}.b{n}]" for n in range(3300)),
        "\n".join(f"[[{'.'.join(['a'] * 31)}]]" for n in range(3500)),
        "a = [" + "1," * 120_000 + "]",
        'a = """' + '""x' * 80_000,
        '"' * 250_000,
    ],
    ids=["long prefixes", "long headers", "repeated headers", "many items", "quotes in a text", "quotes"],
)
def test_allowed_depth_a_quarter_megabyte_long_is_read_in_seconds(text: str) -> None:
    """What the limits let through costs no more than a moment, whether it is TOML or not."""
    began = time.process_time()
    document, faults = read(text.encode())
    assert document or faults[0].line
    assert time.process_time() - began < 5


def test_32_deep_may_stand() -> None:
    """The limit itself is allowed, in keys and in lists."""
    assert parse((".".join("a" * 32) + " = 1").encode(), "f").data
    assert parse(("a = " + "[" * 31 + "]" * 31).encode(), "f").data


@given(raw=st.one_of(st.binary(max_size=300), st.text(max_size=200).map(str.encode)))
@settings(max_examples=200)
def test_any_bytes_give_a_document_or_a_fault(raw: bytes) -> None:
    """Nothing else ever comes out, and each fault says what to do."""
    document, faults = read(raw)
    assert document or faults
    assert all(found.message and found.remedy and found.file == "f" for found in faults)


def test_many_faults_are_cut_with_a_count() -> None:
    """At most 20 are told, then how many more there are."""
    faults = [Fault(str(number), "mend it", "f", number) for number in range(30)]
    told = at_most(faults)
    assert told[:MOST_FAULTS] == faults[:MOST_FAULTS]
    assert str(told[MOST_FAULTS]) == "f: and 10 more; mend these first, then check again"
    assert at_most(faults[:MOST_FAULTS]) == faults[:MOST_FAULTS]
