"""Alarms in words: the line that cannot be missed, the list to choose from, and what a shop's command gets.

Must not know a screen library, nor decide what is an alarm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from runner.batch.alarms import Call
from runner.batch.state import BatchState
from runner.text import shown
from runner.units import write_clock

PUT_OFF_MIN = (2, 5, 15, 30)
"""Minutes offered for putting an alarm off, as far as the alarm allows."""


def banner(calls: Sequence[Call], states: Mapping[str, BatchState], digits: Mapping[str, str]) -> str:
    """The worst alarm that sounds, and how many more there are; nothing where all is quiet."""
    loud = [call for call in calls if call.rings]
    if not loud:
        return ""
    more = f"   and {len(loud) - 1} more" if len(loud) > 1 else ""
    return f"▲ {line(loud[0], states, digits)}{more}"


def line(call: Call, states: Mapping[str, BatchState], digits: Mapping[str, str]) -> str:
    """One alarm: which rack, what it is, what to do, how long there is."""
    who = f"{digits.get(call.batch, call.batch)} {shown(states[call.batch].opened.part, 16)}".lstrip()
    left = f", {write_clock(call.act_s)} left" if call.act_s is not None and call.act_s > 0 else ""
    return f"{who}: {call.alarm}, {call.meaning.action}{left}"


def put_off_min(call: Call) -> tuple[int, ...]:
    """Minutes that an alarm may be put off for."""
    return tuple(minutes for minutes in PUT_OFF_MIN if minutes * 60 <= call.shelve_most_s)


def for_command(call: Call, states: Mapping[str, BatchState]) -> dict[str, str]:
    """What a shop's own command is told, by the name of each variable; plain text, no control characters."""
    state = states[call.batch]
    step = state.opened.plan.step(call.step)
    said = {
        "ALARM": call.alarm,
        "PRIORITY": call.meaning.priority,
        "BATCH": call.batch,
        "PART": state.opened.part,
        "TANK": step.tank_title or step.tank or "",
        "CAUSE": call.meaning.cause,
        "ACTION": call.meaning.action,
    }
    return {f"TANKWALK_{name}": shown(text, 200) for name, text in said.items()}
