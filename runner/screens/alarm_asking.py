"""Quieting an alarm: which one, whether it is heard or put off, and who signs for that.

Owns the order of those questions; each ends in an intent handed to the app, or in nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from runner.batch import intents as do
from runner.screens.alarm_words import line, put_off_min
from runner.screens.modal import AskChoice
from runner.screens.pin import AskPin

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

HEARD = "heard: quiet until it comes anew or becomes worse"


async def quieten(app: TankwalkApp, digits: Mapping[str, str]) -> str | None:
    """Ask, carry it out, and give back what is to be said about it."""
    ask, now = app.push_screen_wait, app.now()
    states = app.floor.states()
    loud = [call for call in app.floor.alarms(now) if not call.quiet]
    if not loud:
        return "no alarm stands"
    chosen = await ask(AskChoice("Which alarm?", tuple(line(call, states, digits) for call in loud)))
    if chosen is None:
        return None
    call = loud[chosen]
    minutes = put_off_min(call)
    options = (HEARD, *(f"put off for {number} min, signed" for number in minutes))
    how = await ask(AskChoice(line(call, states, digits), options))
    if how is None:
        return None
    if refusal := app.floor.take(call.batch, app.now()):
        return refusal
    if how == 0:
        return await app.act(call.batch, do.Acknowledge(call.alarm)) or "heard"
    taken_by = app.state(call.batch).taken_by.id
    session = await ask(AskPin(f"Put off for {minutes[how - 1]} min: {call.alarm}", "walk", taken_by))
    if session is None:
        return None
    shelve = do.Shelve(call.alarm, minutes[how - 1] * 60.0)
    return await app.act(call.batch, shelve, session) or f"put off for {minutes[how - 1]} min"
