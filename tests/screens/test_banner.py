"""The one line over the racks: what stands in it, whatever the alarm, the part and the time left."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from runner.batch.alarms import Alarm, Call
from runner.batch.state import BatchState
from runner.screens.alarm_words import banner
from support.batches import Walker

ROOM = 78
"""80 columns less the margins of the band."""

FIRST = {
    Alarm.OVERSTAYED: "lift it out",
    Alarm.OUT_TOO_LONG: "no hurry now: re-activate",
    Alarm.CURRENT_OFF: "re-activate",
    Alarm.OUTSIDE: "set the current",
    Alarm.TIME_UP: "lift it out",
}
"""What a hand does first; the rest may be cut."""

UNTIMED = {Alarm.OUT_TOO_LONG, Alarm.CURRENT_OFF}
"""The next plating step alone bounds them."""


def states(part: str) -> dict[str, BatchState]:
    """One rack with this part."""
    state = Walker().state
    return {"2026-0001": replace(state, opened=replace(state.opened, part=part))}


def call(alarm: Alarm, act_s: float | None) -> Call:
    """That alarm of it."""
    return Call("2026-0001", 1, alarm, act_s, False, 120.0)


@pytest.mark.parametrize("alarm", FIRST)
@given(
    part=st.text("abcdefg ", min_size=1, max_size=60).filter(str.strip),
    act_s=st.floats(1, 3 * 3600),
    more=st.integers(0, 11),
)
def test_80_columns_hold_rack_alarm_first_action_time_and_count(
    alarm: Alarm, part: str, act_s: float, more: int
) -> None:
    """The action loses its end; what stands behind it does not."""
    timed = alarm not in UNTIMED
    said = banner(
        [call(alarm, act_s if timed else None)] * (more + 1), states(part), {"2026-0001": "2"}, ROOM
    )
    assert len(said) <= ROOM
    assert said.startswith("▲ 2 ")
    assert alarm.value in said or (alarm is Alarm.OUTSIDE and "meter outside" in said)
    assert FIRST[alarm] in said
    assert (" left" in said) == timed
    assert said.endswith(f"   and {more} more") == (more > 0)


def test_a_meter_outside_its_window_among_two_alarms() -> None:
    """The longest of them, as it stands at 80 columns and where there is room for all of it."""
    calls = [call(Alarm.OUTSIDE, 754.0), call(Alarm.TIME_UP, 9.0)]
    said = [banner(calls, states("bell pushes"), {"2026-0001": "2"}, room) for room in (ROOM, 118)]
    assert said == [
        "▲ 2 bell pushes: meter outside, set the current, 12:34 left   and 1 more",
        (
            "▲ 2 bell pushes: meter outside its window, set the current, look at contacts, read again, "
            "12:34 left   and 1 more"
        ),
    ]


def test_on_a_narrow_screen_rack_alarm_and_time_are_left() -> None:
    """40 columns: the part and the action go."""
    said = banner([call(Alarm.OUTSIDE, 754.0)], states("bell pushes"), {"2026-0001": "2"}, 38)
    assert said == "▲ 2: meter outside, 12:34 left"


def test_a_short_action_is_said_whole_or_not_at_all() -> None:
    """60 columns: the part goes before half of three words does."""
    calls = [call(Alarm.TIME_UP, 20.0)] * 4
    assert banner(calls, states("stirrup irons"), {"2026-0001": "3"}, 58) == (
        "▲ 3: time is up, lift it out, 0:20 left   and 3 more"
    )
