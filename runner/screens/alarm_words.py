"""Alarms in words: the line that cannot be missed, the list to choose from, and what a shop's command gets.

Must not know a screen library, nor decide what is an alarm.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence

from runner.batch.alarms import Alarm, Call
from runner.batch.state import BatchState
from runner.record.standing import Standing
from runner.text import LONGEST, shown
from runner.units import write_clock

PUT_OFF_MIN = (2, 5, 15, 30)
"""Minutes offered for putting an alarm off, as far as the alarm allows."""

SIGN = "▲ "
PART_CELLS = 16

ACTION_CELLS = 24
"""Least room in which an action that loses its last words still says what to do."""

SHORT = {Alarm.OUTSIDE: "meter outside"}
"""Alarms in fewer words, for a line with little room."""


def banner(
    calls: Sequence[Call], states: Mapping[str, BatchState], digits: Mapping[str, str], width: int = LONGEST
) -> str:
    """The worst alarm that sounds, and how many more there are; nothing where all is quiet.

    Args:
        calls: The worst first.
        states: Of every batch.
        digits: By which the racks are called; a batch without one is called by its name.
        width: Cells there are. The time left and the count stay; the action is cut from its end.
    """
    loud = [call for call in calls if call.rings]
    if not loud:
        return ""
    more = f"   and {len(loud) - 1} more" if len(loud) > 1 else ""
    said = _fitting(loud[0], states, digits, width - len(more) - len(SIGN))
    return f"{SIGN}{said}{more}"


def elsewhere(calls: Sequence[Call], racks: Sequence[Standing], batch: str, width: int) -> str:
    """The same of every rack but this one, by the numbers that the board gives them."""
    states = {one.batch: one.state for one in racks if one.state}
    others = [call for call in calls if call.batch != batch]
    return banner(others, states, {one.batch: str(one.place) for one in racks}, width)


def line(call: Call, states: Mapping[str, BatchState], digits: Mapping[str, str]) -> str:
    """One alarm: which rack, what it is, what to do, how long there is."""
    return f"{_who(call, states, digits, PART_CELLS)}: {call.alarm}, {call.meaning.action}{_left(call)}"


def _who(call: Call, states: Mapping[str, BatchState], digits: Mapping[str, str], part_cells: int) -> str:
    part = shown(states[call.batch].opened.part, part_cells) if part_cells else ""
    return f"{digits.get(call.batch, call.batch)} {part}".strip()


def _left(call: Call) -> str:
    return f", {write_clock(call.act_s)} left" if call.act_s is not None and call.act_s > 0 else ""


def _fitting(call: Call, states: Mapping[str, BatchState], digits: Mapping[str, str], width: int) -> str:
    """One alarm in a line: later clauses go first, then the part's end, then words of the action."""
    whole, end, short = line(call, states, digits), _left(call), SHORT.get(call.alarm, call.alarm)
    if len(whole) <= width:
        return whole
    first = call.meaning.action.split(", ")[0]
    for part_cells, alarm in ((PART_CELLS, call.alarm), (PART_CELLS, short), (PART_CELLS // 2, short)):
        head = f"{_who(call, states, digits, part_cells)}: {alarm}, "
        if len(head) + len(first) + len(end) <= width:
            return f"{head}{first}{end}"
    for part_cells in (PART_CELLS, PART_CELLS // 2):
        head = f"{_who(call, states, digits, part_cells)}: {short}, "
        room = width - len(head) - len(end)
        if room >= ACTION_CELLS:
            return f"{head}{_cut(first, room)}{end}"
    bare = f"{_who(call, states, digits, 0)}: {short}"
    return f"{bare}, {first}{end}" if len(bare) + len(first) + len(end) + 2 <= width else f"{bare}{end}"


def _cut(action: str, room: int) -> str:
    return textwrap.shorten(action, room, placeholder="…", break_on_hyphens=False)


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
