"""One batch as a row of the board: how urgent it is, what it waits for, how long.

Owns the order and the words of the rows. Must not know a screen library's widgets, nor what a key does.
"""

from __future__ import annotations

import textwrap

from textual.content import Content

from runner.batch.clocks import out_of_tank
from runner.batch.moment import Moment
from runner.batch.state import BatchState, Phase
from runner.batch.timer import Progress
from runner.record.standing import Standing
from runner.text import shown
from runner.units import write_clock

PROBLEM_CELLS = 74
"""Width of what is wrong with a batch that cannot be walked."""

_FAR_S = 10.0**9


def urgency_s(one: Standing, done: Progress | None, now: Moment) -> float:
    """Seconds until a batch needs hands; below zero where it is overdue. The smallest comes first."""
    state = one.state
    if state is None:
        return _FAR_S
    clock = out_of_tank(state)
    if clock is not None and clock.limit_s is not None:
        return clock.limit_s - clock.ran_s(now)
    if done is not None and done.left_s is not None:
        return done.left_s
    return _FAR_S / 2 if state.phase is Phase.WAITING else _FAR_S / 4


def row(digit: str, one: Standing, done: Progress | None, now: Moment) -> Content:
    """One batch on the board: its digit, part, what it waits for, how long."""
    state = one.state
    if state is None:
        problem = textwrap.wrap(f"{one.batch}: {shown(one.problem or '')}", PROBLEM_CELLS)
        return Content.assemble((f" {digit} ", "reverse"), "  ", ("\n     ".join(problem), "$warning"))
    sign, words, when, style = _told(state, done, now)
    held = "\n      in hand at another terminal" if one.held_by else ""
    return Content.assemble(
        (f" {digit} ", "reverse"),
        f" {sign} ",
        (f"{shown(state.opened.part, 20):<20} ", "bold"),
        f"{shown(words, 30):<30} ",
        (when, style),
        (held, "$quiet"),
    )


def _goal(state: BatchState) -> str:
    """What a rack between steps waits for."""
    if state.upcoming is None:
        return "to be released"
    word = "go to" if state.upcoming.tank else "next:"
    return f"{word} {shown(state.upcoming.name, 28)}"


def _told(state: BatchState, done: Progress | None, now: Moment) -> tuple[str, str, str, str]:
    """Sign, words, time and style of a batch; the style only repeats what the words say."""
    clock = out_of_tank(state)
    goal = _goal(state)
    if clock is not None:
        ran = write_clock(clock.ran_s(now))
        if clock.limit_s is None:
            return "·", goal, f"out {ran}", ""
        left = clock.limit_s - clock.ran_s(now)
        if left < 0:
            return "▲", goal, f"out {ran}, {write_clock(-left)} over", "$error bold"
        return "▲", goal, f"out {ran}, {write_clock(left)} left", "$warning bold"
    if state.phase is Phase.PAUSED:
        return "‖", f"paused in {shown(state.step.name, 24) if state.step else ''}", "", ""
    if done is None or state.step is None:
        return "·", goal, "", ""
    name = shown(state.step.name, 28)
    if done.left_s is None:
        return "▶", f"at {name}", f"for {write_clock(done.elapsed_s)}", ""
    if done.left_s <= 0:
        return "▲", f"lift from {name}", f"over by {write_clock(-done.left_s)}", "$warning bold"
    return "▶", f"in {name}", f"lift in {write_clock(done.left_s + 0.999)}", ""
