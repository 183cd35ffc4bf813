"""What is no key falls away before keys are read, and takes no key along."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.screens.sift import BEGIN, END, LONGEST, closed, sifted

KEYS = st.text(st.characters(exclude_characters="\x1b", exclude_categories=["Cs"]), max_size=12)


@given(KEYS)
def test_keys_pass_as_they_are(keys: str) -> None:
    """Nothing but what begins with an escape is touched."""
    assert sifted(keys) == (keys, "")


@pytest.mark.parametrize(
    "key", ["\x1b", "\x1b[A", "\x1bOP", "\x1b[15~", "\x1b[97;5u", "\x1b[?2048;0$y", "\x1b[<0;1;1M"]
)
def test_keys_and_asked_for_answers_that_are_escapes_pass(key: str) -> None:
    """Arrows, function keys, the mode reports that the library asks for (xterm control sequences)."""
    assert sifted(key) == (key, "")


@pytest.mark.parametrize("answer", ["\x1b[?1;2c", "\x1b[>41;354;0c", "\x1b[?62;4c"])
def test_a_terminal_that_tells_what_it_is_presses_nothing(answer: str) -> None:
    """The answers of a VT100, an xterm and a VT220 to a request for device attributes (ECMA-48)."""
    assert sifted(f"a{answer}?") == ("a?", "")


@given(KEYS, KEYS, KEYS, KEYS)
def test_a_paste_keeps_its_text_and_loses_its_escapes(before: str, one: str, other: str, after: str) -> None:
    """A colour code in the middle of it falls away; what stands around the paste stays."""
    came = f"{before}{BEGIN}{one}\x1b[31m{other}{END}{after}"
    assert sifted(came) == (f"{before}{BEGIN}{one}{other}{END}{after}", "")


@given(KEYS, KEYS)
def test_a_paste_in_two_pieces_waits_for_its_end(one: str, other: str) -> None:
    """It is read as one; and where no end comes it is closed, so that it swallows no key after it."""
    keys, held = sifted(f"{BEGIN}{one}")
    assert (keys, held) == ("", f"{BEGIN}{one}")
    assert sifted(f"{held}{other}{END}") == (f"{BEGIN}{one}{other}{END}", "")
    assert closed(held) == f"{BEGIN}{one}{END}"


def test_a_paste_without_end_is_not_held_for_ever() -> None:
    """Beyond its longest it is closed where it stands."""
    assert sifted(BEGIN + "x" * LONGEST) == (f"{BEGIN}{'x' * LONGEST}{END}", "")
