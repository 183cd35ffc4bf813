"""Text from files and people: what may stand in it, and how it is shown."""

from __future__ import annotations

import re
import sys
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.text import LONGEST, first_unfit, shown, unfit

# Unicode Standard Annex 9, Bidi_Control property (from memory).
BIDI_CONTROLS = {0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)}
TRADE = "Ni 20 µm · 4 A/dm² × ½ h at 55 °C – “bright”, naïve Größe, 銅 めっき, никель, 🎠"


def dangerous(char: str) -> bool:
    """Whether a character steers a terminal or the reading order, by the Unicode database."""
    if unicodedata.category(char) in {"Cc", "Cs", "Zl", "Zp"}:
        return True
    return ord(char) in BIDI_CONTROLS or unicodedata.bidirectional(char) in {
        "LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI",
    }  # fmt: skip


def test_no_character_that_steers_a_terminal_is_ever_shown() -> None:
    """Of all of Unicode, no C0, C1, DEL, surrogate, line separator or bidirectional control gets through."""
    for code in range(sys.maxunicode + 1):
        char = chr(code)
        if dangerous(char):
            line = shown(f"a{char}b")
            assert char not in line
            assert line in {"a b", f"a<U+{code:04X}>b"}


def test_every_other_character_is_shown_as_it_is() -> None:
    """What does not steer is kept, but for the byte order mark, which hides."""
    kept = [chr(code) for code in range(sys.maxunicode + 1) if code != 0xFEFF and not dangerous(chr(code))]
    for start in range(0, len(kept), 400):
        text = "".join(kept[start : start + 400])
        assert shown(text) == text
        assert unfit(text) is None
    assert shown("\ufeff") == "<U+FEFF>"


@given(st.text(max_size=700), st.integers(1, 600))
def test_what_is_shown_is_one_safe_line(text: str, longest: int) -> None:
    """Never longer than asked, never more than a line, and showing it again changes nothing."""
    line = shown(text, longest)
    assert len(line) <= longest
    assert not any(dangerous(char) for char in line)
    assert shown(line, longest) == line


@pytest.mark.parametrize(
    ("hostile", "safe"),
    [
        ("\x1b[2J\x1b[31mred", "<U+001B>[2J<U+001B>[31mred"),
        ("\x9b31m", "<U+009B>31m"),
        ("\x1b]0;title\x07", "<U+001B>]0;title<U+0007>"),
        ("gniht\u202eon", "gniht<U+202E>on"),
        ("one\r\ntwo\nthree\tfour", "one two three four"),
        ("over\rwritten", "over<U+000D>written"),
        ("[bold]as typed[/bold]", "[bold]as typed[/bold]"),
        (TRADE, TRADE),
    ],
)
def test_text_is_shown_so(hostile: str, safe: str) -> None:
    """Controls become their code, ends of lines a space, markup and the trade's letters stay."""
    assert shown(hostile) == safe


def test_anything_can_be_shown() -> None:
    """Not only text: numbers, nothing and lists come out in Python's own words."""
    assert [shown(5), shown(None), shown(["\x1b"])] == ["5", "None", "['\\x1b']"]


def test_a_long_text_is_cut_with_a_mark() -> None:
    """A cut shows that something is missing."""
    assert shown("x" * 600) == "x" * (LONGEST - 1) + "…"
    assert shown("x" * LONGEST) == "x" * LONGEST
    assert shown("abcdef", 4) == "abc…"


@given(st.text(max_size=LONGEST))
def test_a_text_is_fit_exactly_when_nothing_in_it_steers(text: str) -> None:
    """What may stand in a record is what would be shown unchanged."""
    steers = any(dangerous(char) or char == "\ufeff" for char in text)
    assert (unfit(text) is not None) is steers
    steers_a_file = any(dangerous(char) or char == "\ufeff" for char in re.sub(r"[\n\t]", "", text))
    assert (first_unfit(text) is not None) is (unfit(text, lines=True) is not None) is steers_a_file


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("bell\x07", "control character U+0007 at character 5"),
        ("\x1b[2J", "control character U+001B at character 1"),
        ("ab\u202ecd", "control character U+202E at character 3"),
        ("a\ud800", "control character U+D800 at character 2"),
        ("two\nlines", "control character U+000A at character 4"),
        ("x" * 501, "501 characters, where 500 are the most"),
    ],
)
def test_what_is_unfit_is_named_with_its_place(text: str, says: str) -> None:
    """The reason names the character by its code and counts places from 1."""
    assert unfit(text) == says


@pytest.mark.parametrize("text", ["", "a", TRADE, "x" * 500])
def test_ordinary_text_may_stand(text: str) -> None:
    """The trade's letters and other scripts are fit."""
    assert unfit(text) is None


def test_sentences_in_files_may_run_over_lines() -> None:
    """Where lines are allowed, newlines and tabs may stand; a carriage return may not."""
    assert unfit("one\n\ttwo", lines=True) is None
    assert unfit("one\r\ntwo", lines=True) == "control character U+000D at character 4"
    assert first_unfit("one\n\ttwo") is None
    found = first_unfit("one\n\x00two")
    assert found is not None
    assert found.start() == 4
