"""Quieting an alarm: which one, whether it is heard or put off, and who signs for that.

Owns the order of those questions; each ends in an intent handed to the app, or in nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from string import ascii_lowercase
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
    loud = [call for call in app.floor.alarms(now) if not call.quiet and call.batch in digits]
    if not loud:
        return "no alarm stands"
    # Of each rack the worst: its other alarms come when that is quiet.
    worst = {call.batch: call for call in reversed(loud)}
    racks = [call for call in loud if worst[call.batch] is call]
    rows = tuple(line(call, states, _beyond_keys(digits)) for call in racks)
    chosen = await ask(AskChoice("Which rack's alarm?", rows, [_key(digits[call.batch]) for call in racks]))
    if chosen is None:
        return None
    call = racks[chosen]
    minutes = put_off_min(call)
    options = (HEARD, *(f"put off for {number} min, signed" for number in minutes))
    how = await ask(AskChoice(line(call, states, digits), options))
    if how is None:
        return None
    if app.floor.left_behind(call.batch):
        return "take the batch in hand first: the terminal that had it went without letting go"
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


def _key(digit: str) -> str:
    """The key of a rack in the list: the same as on the board, or a letter for one beyond the digits."""
    beyond = int(digit) - len("123456789")
    return digit if beyond < 1 else ascii_lowercase[beyond - 1 : beyond]


def _beyond_keys(digits: Mapping[str, str]) -> dict[str, str]:
    """What stands in front of a rack's alarm: nothing where its key says the same."""
    return {batch: digit if len(digit) > 1 else "" for batch, digit in digits.items()}
