"""Dataclasses to plain data and back: strict, so that a forged or damaged line does not half-read."""

from __future__ import annotations

import json
import re
from enum import StrEnum
from typing import Any, Literal

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.batch import events as ev
from runner.batch.kinds import KINDS, event_data, read_event
from runner.batch.terms import Standing, Where
from runner.plain_data import DataFault, Plain, from_data, to_data, told_data
from runner.procedure.sheet import Load, Plan, PlannedCheck, PlannedStep
from support.batches import HELD_STEPS, OWNER, opening


class Metal(StrEnum):
    """A closed list."""

    NICKEL = "nickel"
    COPPER = "copper"


class Bar(Plain, frozen=True):
    """Something that hangs in something."""

    metal: Metal
    length_mm: float


class Tank(Plain, frozen=True):
    """One of every form that a field may take."""

    name: str
    bars: int
    on: bool
    volume_l: float
    shape: Literal["round", "square"]
    first: Bar
    rest: tuple[Bar, ...]
    window: tuple[float, float]
    note: str | None = None
    points: tuple[tuple[float, float], ...] = ()
    more: dict[str, Any] = msgspec.field(default_factory=dict)
    anything: Any = None


FINITE = st.floats(allow_nan=False, allow_infinity=False)
BARS = st.builds(Bar, st.sampled_from(Metal), FINITE)
TANKS = st.builds(
    Tank,
    st.text(),
    st.integers(),
    st.booleans(),
    FINITE,
    st.sampled_from(["round", "square"]),
    BARS,
    st.lists(BARS, max_size=3).map(tuple),
    st.tuples(FINITE, FINITE),
    st.none() | st.text(),
    st.lists(st.tuples(FINITE, FINITE), max_size=3).map(tuple),
)

GOOD: dict[str, Any] = {
    "name": "nickel",
    "bars": 2,
    "on": True,
    "volume_l": 600,
    "shape": "round",
    "first": {"metal": "nickel", "length_mm": 500.0},
    "rest": [{"metal": "copper", "length_mm": 400.0}],
    "window": [2.0, 6.0],
}


@given(TANKS)
def test_what_is_written_reads_back_the_same(tank: Tank) -> None:
    """Through JSON text and back, every field has its value and its type again."""
    data = json.loads(json.dumps(to_data(tank)))
    again = from_data(Tank, data)
    assert again == tank
    assert to_data(again) == data
    assert isinstance(again.first.metal, Metal)
    assert isinstance(again.rest, tuple)


@given(TANKS)
def test_the_library_writes_the_same_tables(tank: Tank) -> None:
    """Apart from tuples, which JSON does not know, the data is what `msgspec` makes of it."""
    assert json.dumps(to_data(tank)) == json.dumps(msgspec.to_builtins(tank))


def test_what_has_a_default_may_be_left_out() -> None:
    """A key with a default is optional; a whole number may stand for a float."""
    tank = from_data(Tank, GOOD)
    assert (tank.note, tank.points, tank.more, tank.volume_l) == (None, (), {}, 600)


@pytest.mark.parametrize("key", GOOD)
def test_a_missing_key_is_named(key: str) -> None:
    """Every key without a default is needed."""
    with pytest.raises(DataFault, match=f"^Tank: '{key}' is missing$"):
        from_data(Tank, {name: value for name, value in GOOD.items() if name != key})


@pytest.mark.parametrize("key", ["", "Name", "bar", "volume_l ", "__class__"])
def test_an_unknown_key_is_named(key: str) -> None:
    """A key that the class does not have is refused, however near it is to one."""
    with pytest.raises(DataFault, match=r"^Tank: unknown key"):
        from_data(Tank, {**GOOD, key: 1})


WRONG: list[tuple[str, Any, str]] = [
    ("name", 5, "name: expected `str`, got `int`"),
    ("name", None, "name: expected `str`, got `null`"),
    ("name", ["nickel"], "name: expected `str`, got `array`"),
    ("bars", 2.0, "bars: expected `int`, got `float`"),
    ("bars", "2", "bars: expected `int`, got `str`"),
    ("bars", True, "bars: expected `int`, got `bool`"),
    ("on", 1, "on: expected `bool`, got `int`"),
    ("on", None, "on: expected `bool`, got `null`"),
    ("volume_l", "600", "volume_l: expected `float`, got `str`"),
    ("volume_l", True, "volume_l: expected `float`, got `bool`"),
    ("volume_l", 10**400, "volume_l: number out of range"),
    ("shape", "oval", "shape: invalid enum value 'oval'"),
    ("shape", 1, "shape: expected `str`, got `int`"),
    ("first", None, "first: expected `object`, got `null`"),
    ("first", [], "first: expected `object`, got `array`"),
    ("first", {"metal": "zinc", "length_mm": 1}, "first.metal: invalid enum value 'zinc'"),
    ("first", {"metal": {}, "length_mm": 1}, "first.metal: expected `str`, got `object`"),
    ("first", {"metal": "nickel"}, "first: 'length_mm' is missing"),
    ("first", {"metal": "nickel", "length_mm": 1, "x": 1}, "first: unknown key 'x'"),
    ("rest", {}, "rest: expected `array`, got `object`"),
    ("rest", "ab", "rest: expected `array`, got `str`"),
    ("rest", [{"metal": "nickel", "length_mm": "x"}], "rest[0].length_mm: expected `float`, got `str`"),
    ("window", [1.0], "window: expected `array` of length 2, got 1"),
    ("window", [1.0, 2.0, 3.0], "window: expected `array` of length 2, got 3"),
    ("window", [1.0, None], "window[1]: expected `float`, got `null`"),
    ("note", 1, "note: expected `str | null`, got `int`"),
    ("points", [[1.0, 2.0], [3.0]], "points[1]: expected `array` of length 2, got 1"),
    ("more", [], "more: expected `object`, got `array`"),
]


@pytest.mark.parametrize(("key", "value", "says"), WRONG)
def test_a_value_of_another_kind_is_refused_with_its_place(key: str, value: Any, says: str) -> None:
    """True is no number, a text no list, and nothing is converted."""
    with pytest.raises(DataFault, match=f"^{re.escape(f'Tank.{says}')}$"):
        from_data(Tank, {**GOOD, key: value})


@pytest.mark.parametrize("data", [None, [], "x", 1, True, [["name", "nickel"]]])
def test_only_a_table_reads_as_a_class(data: Any) -> None:
    """A line that is no table is refused, under the name that the caller gives the place."""
    with pytest.raises(DataFault, match=r"^line 3: expected `object`, got"):
        from_data(Tank, data, "line 3")


EVENTS: list[ev.Event] = [
    opening(HELD_STEPS),
    ev.BatchTaken(OWNER),
    ev.CautionsConfirmed(2, ("one", "two")),
    ev.CurrentRead(2, 40.0, 20.0),
    ev.TimerPaused(2, Where.LIFTED),
    ev.DeviationSettled(1, "parts set aside", OWNER),
    ev.TailSetAside(3, "0" * 64, "AAAA"),
]


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: event.kind)
def test_events_read_back_the_same(event: ev.Event) -> None:
    """The opening with its whole plan, and events of every form, survive a line of JSON."""
    assert read_event(event.kind, json.loads(json.dumps(event_data(event)))) == event


def test_an_unknown_kind_of_event_is_refused() -> None:
    """A kind that this release does not know is named."""
    with pytest.raises(DataFault, match="no event is called 'step-skipped'"):
        read_event("step-skipped", {})


# A line holds no figure that is not finite, and no reader of doubles can keep a whole number beyond 2**53.
JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | FINITE | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=8,
)


@given(st.sampled_from(sorted(GOOD)), JSON)
def test_nothing_but_a_fault_comes_of_odd_data(key: str, value: Any) -> None:
    """Any JSON in any place is either read as it stands or refused; writing it gives the same again."""
    data = {**GOOD, key: value}
    try:
        tank = from_data(Tank, data)
    except DataFault:
        return
    assert {**to_data(tank), key: value} == to_data(tank)


@given(st.sampled_from(sorted(KINDS)), JSON)
def test_no_odd_line_is_half_an_event(kind: str, data: Any) -> None:
    """Whatever a line holds under a known kind, it reads as that event whole, or is refused."""
    try:
        event = read_event(kind, data)
    except DataFault:
        return
    assert event.kind == kind
    assert {**event_data(event), **data} == event_data(event)


@given(TANKS)
def test_what_is_told_leaves_defaults_out_and_reads_back_the_same(tank: Tank) -> None:
    """Journal lines hold no field that stands at its default, at any depth, and lose nothing by it."""
    data = json.loads(json.dumps(told_data(tank)))
    again = from_data(Tank, data)
    assert again == tank
    assert [type(getattr(again, name)) for name in data] == [type(getattr(tank, name)) for name in data]
    defaults = {one.name: one.default for one in msgspec.structs.fields(Tank)}
    assert not [name for name, value in data.items() if value is defaults[name]]


@pytest.mark.parametrize("kind", [Plan, PlannedStep, PlannedCheck, Load, Standing, *KINDS.values()])
def test_a_default_of_the_journal_is_for_good(kind: type[Plain]) -> None:
    """What a line leaves out means absent, empty or no; two exceptions say what lines before them meant.

    Any other default would one day be changed, and with it what old lines say.
    """
    defaults = {one.name: one.default for one in msgspec.structs.fields(kind) if not one.required}
    if kind is Standing:
        assert defaults.pop("overridable") is True
    if kind is ev.AlarmAcknowledged:
        assert defaults.pop("alarm") == "time is up"
    assert all(default in (None, (), False) for default in defaults.values())
