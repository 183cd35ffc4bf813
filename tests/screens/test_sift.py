"""What is no key falls away before keys are read, and takes no key along."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual._ansi_sequences import ANSI_SEQUENCES_KEYS, IGNORE_SEQUENCE
from textual._xterm_parser import XTermParser
from textual.events import Key

from runner.screens.sift import BEGIN, END, LONGEST, closed, sifted, waited

KEYS = st.text(st.characters(exclude_characters="\x1b", exclude_categories=["Cs"]), max_size=12)

FINALS = [chr(code) for code in range(0x40, 0x7F)]
"""Last characters of a control sequence (ECMA-48, 5.4)."""

PARAMETERS = [
    "",
    *map(str, range(256)),
    "99;5",
    "1;1;99",
    "27;5;99",
    "27;1;49",
    "?1",
    "?99",
    ">0;99",
    "=1",
    "99;",
]
INTERMEDIATES = ["", " ", "$", "!"]

ARROWS = [f"\x1b[{one}" for one in "ABCDHF"] + [f"\x1bO{one}" for one in "ABCDHFPQRS"]
WITH_MODIFIERS = [f"\x1b[1;{modifier}{one}" for modifier, one in product(range(2, 9), "ABCDHFPQS")]
NUMBERED = [f"\x1b[{number}~" for number in (*range(1, 9), *range(11, 16), *range(17, 22), 23, 24)]
NUMBERED += [f"{one[:-1]};{modifier}~" for one, modifier in product(NUMBERED, range(2, 9))]
OTHERS = [
    "\x1b[Z",
    "\x1b[[A",
    "\x1b[[E",
    "\x1b[3$",
    "\x1b[7$",
    "\x1b[11^",
    "\x1b[23@",
    "\x1b[a",
    "\x1b[97;5u",
    "\x1ba",
]
REAL = [*ARROWS, *WITH_MODIFIERS, *NUMBERED, *OTHERS]
"""Keys as xterm, a Linux console, rxvt and kitty send them (xterm's control sequences; their manuals)."""


def read(text: str) -> list[Key]:
    """The keys that the library reads of a text, those too that it makes of what it does not know."""
    parser = XTermParser(debug=False)
    events = [*parser.feed(text), *parser.feed("")] if text else []  # nothing means the end to it
    return [event for event in events if isinstance(event, Key)]


def acts(key: Key) -> bool:
    """Whether a key types something or is one that a screen knows by a character of its own."""
    name = key.key.split("+")[-1]
    return (
        key.character is not None or len(name) == 1 or name in {"space", "question_mark", "plus", "asterisk"}
    )


@given(KEYS)
def test_keys_pass_as_they_are(keys: str) -> None:
    """Nothing but what begins with an escape is touched."""
    assert sifted(keys) == (keys, "")


@pytest.mark.parametrize("key", [*REAL, "\x1b[?2048;0$y", "\x1b[<0;1;1M", "\x1b[48;24;80;600;800t", "\x1b[I"])
def test_keys_and_asked_for_answers_that_are_escapes_pass(key: str) -> None:
    """Arrows, function keys with what is held beside them, and the reports that the library asks for."""
    assert sifted(key) == (key, "")
    assert sifted(f"a{key}1") == (f"a{key}1", "")


@pytest.mark.parametrize("key", REAL)
def test_a_key_in_two_pieces_is_read_as_one(key: str) -> None:
    """Wherever it was cut, the second read completes it."""
    for at in range(1, len(key)):
        first, held = sifted(key[:at])
        second, left = sifted(held + key[at:])
        assert (first + second, left) == (key, "")


def test_the_library_s_own_keys_pass() -> None:
    """All that it lists but keys beyond F12, control with a digit (mintty), and two systems' own."""
    listed = {
        one for one, keys in ANSI_SEQUENCES_KEYS.items() if one[:2] == "\x1b[" and keys is not IGNORE_SEQUENCE
    }
    lost = {one for one in listed if sifted(one) != (one, "")}
    beyond = {f"\x1b[{number}{rest}~" for number in range(25, 35) for rest in ("", ";5", ";6")}
    digits = {f"\x1b[1;{modifier}{one}" for modifier in range(5, 9) for one in "pqrstvwxy"}
    doubled = {f"\x1b[5{one}" for one in "ABCD"}  # of these the library itself makes another key
    assert lost <= beyond | digits | doubled | {"\x1b[62~", "\x1b[63~", "\x1b[~"}  # a scroll, a tab


@pytest.mark.parametrize("final", [one for one in FINALS if one != "u"])
def test_no_control_sequence_but_a_known_key_types_anything(final: str) -> None:
    """Whatever number it bears: the library makes letters, digits and the space bar of such numbers."""
    for parameters, intermediate in product(PARAMETERS, INTERMEDIATES):
        if f"{parameters}{intermediate}{final}" in {"M", "[", "200~"}:
            continue  # these go on after it
        stray = f"\x1b[{parameters}{intermediate}{final}"
        keys, held = sifted(f"{stray}é")
        assert (keys[-1:], held) == ("é", "")
        made = [key for key in read(keys[:-1]) if acts(key)]
        assert made == [], stray


def test_what_the_library_makes_of_them_is_why_they_fall_away() -> None:
    """It lifted a rack, corrected an entry and pressed the large key."""
    made = [key.key for stray in ("102", "99", "32") for key in read(f"\x1b[{stray}~")]
    assert made == ["f", "c", "space"]


@pytest.mark.parametrize(
    "stray",
    [
        "\x1b[M !!",
        "\x1b[[f",
        "\x1b]11;rgb:ffff/0000/0000\x07",
        "\x1b]0;fun\x1b\\",
        "\x1bP>|cff(1)\x1b\\",
        "\x1b_f\x1b\\",
    ],
)
def test_mouse_reports_and_control_strings_type_nothing(stray: str) -> None:
    """An old mouse report, a colour, a title and a version told (xterm's control sequences; ECMA-48, 5.6)."""
    assert sifted(f"a{stray}?") == ("a?", "")
    for at in range(1, len(stray)):
        first, held = sifted(stray[:at])
        assert (first, sifted(f"{held}{stray[at:]}?")) == ("", ("?", ""))


PIECES = [
    *REAL,
    *"cf 1\r",
    "\x1b[99~",
    "\x1b[102;2~",
    "\x1b[31m",
    "\x1b[?1;2c",
    "\x1b]0;fc\x07",
    f"{BEGIN}fun\x1b[1m{END}",
]


@given(st.lists(st.sampled_from([one for one in PIECES if "$" not in one]), max_size=6), st.integers(0, 60))
def test_where_the_line_was_cut_makes_no_difference(pieces: list[str], at: int) -> None:
    """What was not whole is held, and comes to the same with what follows it."""
    text = "".join(pieces)
    first, held = sifted(text[:at])
    second, left = sifted(held + text[at:])
    assert (first + second, left) == sifted(text)
    assert left == ""


def test_an_escape_by_itself_is_the_key_once_nothing_has_followed_it() -> None:
    """It might begin a sequence; a piece of one waits longer and then falls away, and a paste is closed."""
    assert sifted("a\x1b") == ("a", "\x1b")
    assert waited("\x1b") == ("\x1b", "")
    assert waited("") == ("", "")
    assert sifted("\x1b[10") == ("", "\x1b[10")
    assert waited("\x1b[10") == ("", "\x1b[10")
    assert closed("\x1b[10") == ""
    assert waited(BEGIN) == ("", BEGIN)


def test_a_sequence_that_is_broken_off_takes_no_key_along() -> None:
    """Enter, a letter of another script, or another escape in its midst count as what they are."""
    assert sifted("\x1b[9\r") == ("\r", "")
    assert sifted("\x1b[9é") == ("é", "")
    assert sifted("\x1b[9\x1b[A") == ("\x1b[A", "")


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


@pytest.mark.parametrize("begun", ["\x1b[", "\x1b]"])
def test_what_has_no_end_is_not_held_for_ever(begun: str) -> None:
    """A paste beyond its longest is closed where it stands; another sequence falls away."""
    assert sifted(BEGIN + "x" * LONGEST) == (f"{BEGIN}{'x' * LONGEST}{END}", "")
    assert sifted(begun + "9" * LONGEST) == ("", "")
