"""One batch as a row of the board: how urgent it is, what it waits for, how long.

Owns the order and the words of the rows. Must not know a screen library's widgets, nor what a key does.
"""

from __future__ import annotations

import textwrap
from typing import NamedTuple

from textual.content import Content

from runner.batch.clocks import Clock, out_of_tank, time_goes_on
from runner.batch.moment import Moment
from runner.batch.state import BatchState, Phase
from runner.batch.timer import Progress
from runner.record.standing import Standing
from runner.text import shown
from runner.units import write_clock

FULL = 80
"""Width from which times are written in full."""

WIDE = 110
"""Width from which the tank's title has a column of its own."""

SIGN_CELLS = 6
"""In front of the part: the digit and the sign."""

PART_CELLS, WORDS_CELLS, TANK_CELLS, TIME_CELLS = 20, 30, 20, 25
"""Room of the columns where there is enough; the longest time is ``out 1:10:06, 1:09:21 over``."""

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


def row(digit: str, one: Standing, done: Progress | None, now: Moment, width: int) -> Content:
    """One batch on the board: its digit, part, what it waits for, how long; in one line of this width."""
    state = one.state
    if state is None:
        problem = textwrap.wrap(f"{one.batch}: {shown(one.problem or '')}", max(10, width - SIGN_CELLS))
        return Content.assemble((f" {digit} ", "reverse"), "  ", ("\n     ".join(problem), "$warning"))
    told = _told(state, done, now)
    when = told.when if width >= FULL else told.short
    part_cells = PART_CELLS if width >= FULL else width // 4
    tank = f"{shown(_tank(state), TANK_CELLS - 1):<{TANK_CELLS}}" if width >= WIDE else ""
    room = width - SIGN_CELLS - part_cells - len(tank) - 3
    # Times stand under one another: on a narrow screen at its edge, else behind room for the longest.
    words_cells = room - (max(len(when), TIME_CELLS) if width >= WIDE else len(when))
    if FULL <= width < WIDE:
        words_cells = min(words_cells, WORDS_CELLS)
    words_cells = max(1, words_cells)
    held = "\n      in hand at another terminal" if one.held_by else ""
    return Content.assemble(
        (f" {digit} ", "reverse"),
        f" {told.sign} ",
        (f"{shown(state.opened.part, part_cells):<{part_cells}} ", "bold"),
        f"{shown(told.words, words_cells):<{words_cells}} {tank}",
        (when, told.style),
        (held, "$quiet"),
    )


class _Told(NamedTuple):
    """What is said of a batch; the style only repeats what the words say.

    Attributes:
        when: How long, in full.
        short: The same where there is little room; it is never cut.
    """

    sign: str
    words: str
    when: str = ""
    short: str = ""
    style: str = ""


def _tank(state: BatchState) -> str:
    """The tank that a rack is in, or goes to; empty where hand work is next."""
    step = state.step if state.inside else state.upcoming
    return (step.tank_title or step.tank or "") if step else ""


def _goal(state: BatchState) -> str:
    """What a rack between steps waits for."""
    if state.phase is Phase.PAUSED and state.step is not None:
        return f"paused, lifted from {state.step.name}"
    if state.upcoming is None:
        return "to be released"
    return f"{'go to' if state.upcoming.tank else 'next:'} {state.upcoming.name}"


def _told(state: BatchState, done: Progress | None, now: Moment) -> _Told:
    """What is said of a batch."""
    clock = out_of_tank(state)
    if clock is not None:
        return _out(clock, _goal(state), now, paused=state.phase is Phase.PAUSED)
    if done is None or state.step is None:
        return _Told("·", _goal(state))
    name = state.step.name
    if state.phase is Phase.PAUSED:
        if not time_goes_on(state) or done.left_s is None:
            return _Told("‖", f"paused in {name}")
        runs = _in(done.left_s, name)
        return runs._replace(sign="‖", words=f"paused in {name}")
    if done.left_s is None:
        return _Told("▶", f"at {name}", f"for {write_clock(done.elapsed_s)}", write_clock(done.elapsed_s))
    return _in(done.left_s, name)


def _out(clock: Clock, goal: str, now: Moment, *, paused: bool) -> _Told:
    """A rack in the air, against what its surface allows."""
    ran = f"out {write_clock(clock.ran_s(now))}"
    if clock.limit_s is None:
        return _Told("‖" if paused else "·", goal, ran, ran)
    left_s = clock.limit_s - clock.ran_s(now)
    short = f"{write_clock(abs(left_s))} {'over' if left_s < 0 else 'left'}"
    style = "$error bold" if left_s < 0 else "$warning bold"
    return _Told("‖" if paused else "▲", goal, f"{ran}, {short}", short, style)


def _in(left_s: float, name: str) -> _Told:
    """A rack in its tank, against its time."""
    if left_s <= 0:
        over = write_clock(-left_s)
        return _Told("▲", f"lift from {name}", f"over by {over}", f"{over} over", "$warning bold")
    left = write_clock(left_s + 0.999)
    return _Told("▶", f"in {name}", f"lift in {left}", left)
