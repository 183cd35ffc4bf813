"""How many alarms an attentive hand hears on the routes that come along, and which."""

from __future__ import annotations

from collections import Counter

import pytest
from msgspec.structs import replace

from runner.batch.alarms import MEANINGS, Alarm, of_rack
from runner.batch.evolve import opened
from runner.batch.state import Phase
from support.batches import START, Walker, opening
from support.shipped import ROUTES, plans

AT_HAND_S = 5.0
"""From a call to the lift, by somebody who stands at the line (invented)."""

MOST_ACTIONS = 2000


def heard(route: str) -> Counter[Alarm]:
    """The alarms that sounded in one walk of a route, each once however long it sounded."""
    walker = Walker()
    walker.state = opened(replace(opening(), plan=plans()[route]), START)
    sounded: set[tuple[int, int, Alarm]] = set()
    for _ in range(MOST_ACTIONS):
        if walker.state.phase in {Phase.WALKED, Phase.RELEASED}:
            return Counter(alarm for _, _, alarm in sounded)
        match walker.action():
            case "lift":
                walker.wait(AT_HAND_S)
            case "enter":
                walker.wait(AT_HAND_S)
        sounded |= {
            (call.step, len(walker.state.runs), call.alarm)
            for call in of_rack(walker.state, "a", walker.now)
            if call.rings
        }
        walker.follow()
    raise AssertionError(f"{route} did not come to its end")


@pytest.mark.parametrize("route", ROUTES)
def test_an_attentive_hand_hears_of_lifts_and_of_nothing_else(route: str) -> None:
    """Each timed step in a tank calls once, for the lift; no other alarm sounds where all goes as planned."""
    timed = [step for step in plans()[route].steps if step.tank is not None and step.dwell_s is not None]
    assert heard(route) == {Alarm.TIME_UP: len(timed)}


def test_what_calls_for_a_lift_is_never_of_high_priority() -> None:
    """So a day that goes as planned has no alarm of the highest priority."""
    assert MEANINGS[Alarm.TIME_UP].priority == "medium"
