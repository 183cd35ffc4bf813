"""Whatever a procedure's file holds, its reader gets a procedure or faults in plain words."""

from __future__ import annotations

import copy
import time
import tomllib
from typing import Any

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.faults import InputFault
from runner.procedure.reading import parse_procedure
from runner.shop.reading import parse_shop
from support.shops import ROUTE, SHOP, small_shop

SMALL = small_shop()
LIBRARY_WORDS = (
    "input should",
    "valid ",
    "pydantic",
    "extra inputs",
    "field required",
    "traceback",
    "nonetype",
)

TEXTS = {
    "title": "Nickel and chromium on steel (invented)",
    "revision": "B",
    "summary": "Strip, clean and plate.",
    "name": "Soak clean",
    "why": "Oil under a deposit is a peel.",
    "do": "Wipe every face under the surface.",
    "media": "glass bead",
    "hazards": "Live rack.",
    "ppe": "face shield",
    "ask": "Rectifier current",
    "choices": "burnt",
}
"""Every text of the small route that is no closed word, by its key."""


def with_text(field: str, written: str) -> tuple[str, int]:
    """The small route with something written in place of one text, and the line where."""
    before, after = ROUTE.split(f'"{TEXTS[field]}"')
    return f'{before}"{written}"{after}', before.count("\n") + 1


@pytest.mark.parametrize("field", TEXTS)
@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("\x1b[31mred", "control character U+001B"),
        ("\\u001b]0;title\\u0007", "control character U+001B"),
        ("\x9b2J", "control character U+009B"),
        ("\\u0085", "control character U+0085"),
        ("\u202ereversed", "control character U+202E"),
        ("\\u2067right to left", "control character U+2067"),
        ("n" * 10_000, "10000 characters"),
    ],
    ids=["raw escape", "escape", "raw C1", "C1", "raw turned order", "turned order", "10 000 characters"],
)
def test_no_text_may_carry_escapes_turned_order_or_pages(field: str, written: str, said: str) -> None:
    """Each is refused on its line before anything else sees it."""
    text, number = with_text(field, written)
    with pytest.raises(InputFault) as caught:
        parse_procedure(text, SMALL, "route.toml")
    (told,) = caught.value.faults
    assert (told.file, told.line) == ("route.toml", number)
    assert said in told.message
    assert told.remedy in {"take it out", "take the character out", "shorten it"}


@pytest.mark.parametrize("field", TEXTS)
def test_markup_is_kept_as_text(field: str) -> None:
    """Square brackets mean nothing to the reader: what draws them draws plain text."""
    text, _ = with_text(field, "[bold red]x[/] [link=a]")
    assert "[bold red]x[/] [link=a]" in repr(parse_procedure(text, SMALL).model_dump(exclude={"source"}))


VALUES = st.one_of(
    st.sampled_from(["", "x", "-1 µm", "0 s", "1e999 A", "nan", "20 µm", "nickel", "plate", "[b]", "soak"]),
    st.integers(-5, 10**30),
    st.floats(),
    st.booleans(),
    st.lists(st.one_of(st.integers(0, 3), st.text(max_size=3)), max_size=3),
    st.dictionaries(st.sampled_from(["min", "max", "metal", "x", ""]), st.integers(0, 3), max_size=3),
    st.dates(),
)


def places(data: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Every place in a parsed document."""
    pairs: list[tuple[str | int, Any]] = []
    if isinstance(data, dict):
        pairs = list(data.items())
    elif isinstance(data, list):
        pairs = list(enumerate(data))
    found = [] if not path else [path]
    for key, value in pairs:
        found += places(value, (*path, key))
    return found


def spoilt(good: str, changes: list[tuple[int, Any]]) -> str:
    """A document with values put in at places chosen by number; a place that is gone is passed over."""
    data = copy.deepcopy(tomllib.loads(good))
    for number, value in changes:
        here = places(data)
        path = here[number % len(here)]
        inside: Any = data
        for key in path[:-1]:
            inside = inside[key]
        if value is None:
            del inside[path[-1]]
        else:
            inside[path[-1]] = value
    return tomli_w.dumps(data)


CHANGES = st.lists(st.tuples(st.integers(0, 500), st.one_of(st.none(), VALUES)), min_size=1, max_size=4)


def assert_plain(refusal: InputFault) -> None:
    """Faults have file, line and remedy, and none of the library's wording."""
    for fault in refusal.faults:
        assert fault.file == "f.toml"
        assert fault.remedy
        assert fault.line is not None or fault.message.startswith("and ")
        said = str(fault).lower()
        assert not [word for word in LIBRARY_WORDS if word in said], said
        assert "\x00" not in said


@given(changes=CHANGES)
@settings(max_examples=150, deadline=None)
def test_a_spoilt_procedure_gives_faults_in_plain_words(changes: list[tuple[int, Any]]) -> None:
    """Values of any type anywhere give a procedure or faults, never the library's wording or a crash."""
    try:
        parse_procedure(spoilt(ROUTE, changes), SMALL, "f.toml")
    except InputFault as refusal:
        assert_plain(refusal)


@given(changes=CHANGES)
@settings(max_examples=150, deadline=None)
def test_a_spoilt_shop_gives_faults_in_plain_words(changes: list[tuple[int, Any]]) -> None:
    """The same of a shop."""
    try:
        parse_shop(spoilt(SHOP, changes), "f.toml")
    except InputFault as refusal:
        assert_plain(refusal)


def test_a_quarter_megabyte_of_faults_is_told_in_seconds() -> None:
    """Thousands of bad steps are each looked at, and twenty told."""
    text = (
        'format = 1\ntitle = "Route"\nbasis = ["brass"]\n'
        + '[[step]]\nname = "a"\ndoes = "b"\ntank = "c"\n' * 5500
    )
    began = time.process_time()
    with pytest.raises(InputFault) as caught:
        parse_procedure(text, SMALL, "f.toml")
    assert time.process_time() - began < 10
    assert len(caught.value.faults) == 21
