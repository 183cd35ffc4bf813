"""One spelling of data: read quickly, and taken or refused exactly as the standard library would have it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from runner.record.spelling import spelled, unspelled

DATA = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner, max_size=4),
    max_leaves=12,
)

WORDS = r"""
    { } [ ] : , " "a" null true NaN Infinity 1 -0 0.5 1e16 1e+16 1e-5 1e-05 0.00001 1.50 1E5 1e400
    12345678901234567.0 \n \u000a \u007f \/ \u00b5 \u00B5 \ud83d\ude00 \ud83d \u001b \u001B
"""
PIECES = st.sampled_from([*WORDS.split(), " ", "\x7f", "9" * 30, "9" * 5000])
"""What texts are put together from: all that two readers or writers of JSON might see differently."""


def as_the_library_has_it(text: str) -> Any:
    """By the standard library alone: read, write again, compare.

    Raises:
        ValueError: It is not the one spelling.
    """
    data = json.loads(text)
    json.dumps(data, ensure_ascii=False).encode("utf-8")  # half a character has no place in any text
    if json.dumps(data, ensure_ascii=True, allow_nan=False, separators=(",", ":")) != text:
        raise ValueError("otherwise")
    return data


def taken(read: Any, text: str) -> Any:
    """What a reader makes of a text, types told apart; None where it refuses it."""
    try:
        return repr(read(text))
    except (ValueError, RecursionError):
        return None


@given(DATA)
@example({"µ": "°C \U0001f600 \x7f \x1b \u2028", "small": 1e-05, "large": 1e16, "less": -0.0})
def test_data_comes_back_from_its_spelling(data: Any) -> None:
    """Whatever JSON can say; the spelling is that of the standard library."""
    try:
        text = json.dumps(data, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
        text.encode("ascii")
        json.dumps(data, ensure_ascii=False).encode("utf-8")
    except UnicodeEncodeError:
        return
    assert spelled(data) == text
    assert repr(unspelled(text)) == repr(data)


@given(st.lists(PIECES, max_size=6).map("".join) | DATA.map(json.dumps))
@example('"\x7f"')
@example("1e16")
@example("[0.00001,1e-05]")
@example("12345678901234567.0")
@example('{"a":1,"a":1}')
@example('"\\u001B"')
@example("-0")
@example("9" * 5000)
def test_a_text_is_taken_exactly_where_the_standard_library_would_write_it_so(text: str) -> None:
    """One reader may not take what the other refuses, nor read another thing in it."""
    assert taken(unspelled, text) == taken(as_the_library_has_it, text)


@pytest.mark.parametrize("text", ["[" * 100_000, "[" * 100_000 + "]" * 100_000, '{"a":' * 100_000])
def test_depth_beyond_the_stack_is_refused(text: str) -> None:
    """It ends in an error that can be caught, not in the end of the program."""
    assert taken(unspelled, text) is None


def test_characters_beyond_ascii_in_a_text_are_refused() -> None:
    """They have an escape as their one spelling."""
    assert taken(unspelled, '"µ"') is None
