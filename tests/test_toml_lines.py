"""Every value of a file is found on its line, whatever the file holds: faults name it."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.faults import Fault, InputFault
from runner.toml_file import Document, parse


def read(raw: bytes) -> tuple[Document | None, tuple[Fault, ...]]:
    """Either a document or its faults."""
    try:
        return parse(raw, "f"), ()
    except InputFault as refusal:
        return None, refusal.faults


ROUTE = """\
format = 1
title = "Nickel # not a remark" # a remark with "quotes
"quoted key" = 'a [literal]'
why = \"\"\"
[not.a.header]
key = 1
\"\"\"
limits.next_within = "45 s"

[tank.nickel]
title = "Bright nickel"
temperature = { min = "52 °C", max = "60 °C" }
[tank."copper 2"]
beside = [
  "nickel", # [x]
  'soak',
]

[[step]]
name = "Soak"

[[step]]
name = "Nickel"
deposit = { metal = "nickel", type.kind = "bright" }
check = [
  { ask = "Current", unit = "A" },
  { ask = "Colour", choices = ["even", "burnt"] },
]
[step.wheel]
speed = "35 m/s"
[[step.more]]
a = 1
[[step.more]]
a = 2
"""


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("format",), 1),
        (("title",), 2),
        (("quoted key",), 3),
        (("why",), 4),
        (("limits",), 8),
        (("limits", "next_within"), 8),
        (("tank", "nickel"), 10),
        (("tank", "nickel", "temperature", "max"), 12),
        (("tank", "copper 2"), 13),
        (("tank", "copper 2", "beside", 1), 16),
        (("step", 0), 19),
        (("step", 0, "name"), 20),
        (("step", 1), 22),
        (("step", 1, "deposit", "type", "kind"), 24),
        (("step", 1, "check", 0, "unit"), 26),
        (("step", 1, "check", 1), 27),
        (("step", 1, "wheel", "speed"), 30),
        (("step", 1, "more", 1, "a"), 34),
        (("step", 1, "dwell"), 22),
        (("step", 1, "deposit", "thickness"), 24),
        (("nowhere",), None),
        ((), None),
    ],
)
def test_each_value_has_its_line(path: tuple[str | int, ...], line: int | None) -> None:
    """A value has the line of its key; what is missing has the line of the nearest thing around it."""
    assert parse(ROUTE.encode(), "f").line_of(path) == line


NAMES = st.text(st.characters(min_codepoint=32, max_codepoint=0x2FF, exclude_categories=["C"]), max_size=6)
VALUES = st.recursive(
    st.one_of(
        st.booleans(),
        st.integers(-99, 99),
        st.floats(allow_nan=False),
        st.dates(),
        st.datetimes(),
        NAMES,
        st.sampled_from(['"""', "'''", "[a]\n# b", "a = 1\n", "\\", '"', "{", "x\ty"]),
    ),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(NAMES, inner, max_size=3)),
    max_leaves=12,
)


def keys_of(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """The paths of all keys and list items of a parsed document."""
    inside: list[tuple[str | int, Any]] = []
    if isinstance(value, dict):
        inside = list(value.items())
    elif isinstance(value, list):
        inside = list(enumerate(value))
    found: list[tuple[str | int, ...]] = []
    for key, item in inside:
        found += [(*path, key), *keys_of(item, (*path, key))]
    return found


@given(
    data=st.dictionaries(NAMES, VALUES, min_size=1, max_size=5),
    multiline=st.booleans(),
    ahead=st.integers(0, 3),
)
@settings(max_examples=150)
def test_whatever_is_written_each_key_is_found_where_it_stands(
    data: dict[str, Any], ahead: int, *, multiline: bool
) -> None:
    """For documents of any shape every value has a line, and the line holds what its key was written as."""
    text = "# a remark\n" * ahead + tomli_w.dumps(data, multiline_strings=multiline)
    document = parse(text.encode(), "f")
    lines = document.text.split("\n")
    for path in keys_of(document.data):
        line = document._lines[path]
        assert document.line_of(path) == line
        if isinstance(path[-1], str):
            written = tomli_w.dumps({path[-1]: 1}).removesuffix(" = 1\n")
            assert written in lines[line - 1]


@given(
    numbers=st.lists(st.integers(0, 10**6), min_size=1, max_size=8, unique=True),
    blanks=st.lists(st.sampled_from(["", "# x = [", "\n", 'y%d = """\nx = 1\n"""']), min_size=8, max_size=8),
)
def test_a_key_that_stands_once_is_found_on_its_very_line(numbers: list[int], blanks: list[str]) -> None:
    """Each key of an otherwise searchable text is where a plain search of the text finds it."""
    text = "".join(
        (blank % place if "%d" in blank else blank)
        + f"\n[[s]]\nk{number} = {{ m{number} = [1, {number}] }}\n"
        for place, (number, blank) in enumerate(zip(numbers, blanks, strict=False))
    )
    if tomllib_refuses(text):
        return
    document = parse(text.encode(), "f")
    for place, number in enumerate(numbers):
        expected = next(at for at, line in enumerate(text.split("\n"), 1) if line.startswith(f"k{number} = "))
        assert document.line_of(("s", place, f"k{number}", f"m{number}", 1)) == expected


def tomllib_refuses(text: str) -> bool:
    """Whether the standard parser finds the text at fault (a key put into a table twice, say)."""
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return True
    return False


PIECES = st.sampled_from(
    [
        *(
            "a",
            "b",
            ".",
            " = ",
            "=",
            "[",
            "]",
            "[[",
            "]]",
            "{",
            "}",
            ",",
            '"',
            "'",
            '"""',
            "'''",
            "\\",
            "\n",
            "#",
        ),
        *(
            " ",
            "\t",
            "1",
            "1.5",
            "true",
            "a.b = 1\n",
            "[a]\n",
            "[[a]]\n",
            '"x"',
            "'y'",
            "2024-01-01 10:00:00",
        ),
    ]
)


@given(pieces=st.lists(PIECES, max_size=30))
@settings(max_examples=600)
def test_a_text_that_the_parser_takes_has_a_line_for_everything(pieces: list[str]) -> None:
    """The scan never gives up on a text that is TOML, so no depth hides behind its mistakes."""
    document, faults = read("".join(pieces).encode())
    assert document or faults
    if document:
        assert all(path in document._lines for path in keys_of(document.data))
