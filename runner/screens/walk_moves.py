"""A rack goes into a tank, or comes out: what the walk's keys note of it.

Owns that a move is noted once, and that a long dwell's call is heard before it is over. Must not draw.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from runner.batch import intents as do
from runner.batch.alarms import Alarm
from runner.batch.questions import hears_first
from runner.screens.keys import FACTS_APART_MS

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

TO_LIFT = frozenset({Alarm.TIME_UP, Alarm.OVERSTAYED})
"""Calls that are over when the rack is out; another that stands beside them is not what this key answers."""

ONCE = "noted once. Press again when the rack has moved on."


async def note_move(app: TankwalkApp, batch: str) -> str:
    """The rack is in now, or out; gives back what is to be said, or nothing.

    No tank takes a rack in and gives it back within a hand's second press, whichever key it is. Hand work can
    be as short as that.
    """
    state, move = app.state(batch), f"moved {batch}"
    step = state.step if state.inside else state.upcoming
    apart = app.guard.passes(move, app.keys.pressed_ms, FACTS_APART_MS)
    if not apart and step is not None and step.tank:
        return ONCE
    said = await app.act(batch, do.Leave() if state.inside else do.Enter())
    if said:  # it was not noted, so that the next press is no second one
        app.guard.forget(move)
    return said or ""


async def lift(app: TankwalkApp, batch: str) -> str:
    """A long dwell's call is acknowledged first; out of a short one the same key lifts."""
    calls = (
        call.alarm for call in app.floor.alarms(app.now()) if call.batch == batch and call.alarm in TO_LIFT
    )
    if not hears_first(app.state(batch)) or (alarm := next(calls, None)) is None:
        return await note_move(app, batch)
    return (
        await app.act(batch, do.Acknowledge(alarm)) or f"heard. Press {app.caps['walk.go']} when it is out."
    )
