"""CSV that no spreadsheet takes for a command, by RFC 4180 and by the library's own reader."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.record.csv_text import csv_text
from support.cli import raw_controls


def field(text: str) -> str:
    """A text as a spreadsheet would read it back."""
    (_, (read,)) = csv.reader(io.StringIO(csv_text([{"a": text}], ["a"]), newline=""), strict=True)
    return read


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1",
        "-1",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        " =1",
        "\n=1",
        "=cmd|' /C calc'!A0",
        "＝1",
        "-",
        "\ttext",
        "\rx",
    ],
)
def test_what_a_spreadsheet_would_run_is_text(text: str) -> None:
    """OWASP, "CSV Injection" (from memory): a field that begins with = + - @ tab or CR gets an apostrophe."""
    assert field(text).startswith("'")


@pytest.mark.parametrize("text", ["stirrup irons", "C-1", "a=b", "1+1", "µ", "'quoted'", "", "100 % _x_"])
def test_other_text_stands_as_it_is(text: str) -> None:
    """Nothing is added to what commands nothing."""
    assert field(text) == text


def test_fields_are_quoted_as_rfc_4180_says() -> None:
    """Section 2: CRLF ends a record; commas and quotes stand in quotes; a quote is doubled."""
    assert csv_text([{"a": 'say "x", y', "b": 2}, {"a": None, "b": -3}], ["a", "b"]) == (
        'a,b\r\n"say ""x"", y",2\r\n,-3\r\n'
    )


@given(st.lists(st.lists(st.text(), min_size=3, max_size=3), max_size=5))
def test_any_text_stays_in_its_field(rows: list[list[str]]) -> None:
    """As many rows and fields come back; no control goes out; none begins as a formula does."""
    text = csv_text([dict(zip("abc", row, strict=True)) for row in rows], list("abc"))
    read = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert [len(row) for row in read] == [3] * (len(rows) + 1)
    assert raw_controls(text.replace("\r\n", "\n")) == []
    assert not any(one.lstrip().startswith(("=", "+", "-", "@")) for row in read for one in row)
