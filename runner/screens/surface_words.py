"""What the part's surface should be now: as the route has it, but for what went otherwise on the way.

Owns which deviations touch the surface. Must not know a screen library, nor judge what became of the part.
"""

from __future__ import annotations

from runner.batch.state import BatchState, Deviation
from runner.batch.terms import Departure
from runner.text import shown

_BESIDE = frozenset({Departure.NOT_CONFIRMED, Departure.NOT_ANSWERED, Departure.REDONE})
"""Departures that say nothing of the surface."""

_ON_ANY_STEP = frozenset({Departure.TRANSFER, Departure.CURRENT_OFF, Departure.NOT_ACCEPTED})
"""Departures that touch it whatever the step does: what goes on next may not hold."""


def surface_now(state: BatchState) -> str:
    """The surface after the last step that was left; nothing where no step tells of one."""
    left = [run.step for run in state.runs if run.left is not None]
    surface = state.opened.plan.step(left[-1]).surface if left else None
    if not surface:
        return ""
    found = [one for one in state.deviations if one.step in left and _touches(state, one)]
    return f"as planned{_but_for(found)}: {shown(surface)}"


def _touches(state: BatchState, deviation: Deviation) -> bool:
    """Whether the deposit may be another for it: it was on a step that lays one down, or bars the next."""
    if deviation.what in _BESIDE or deviation.disposition == "reworked" or not deviation.step:
        return False
    return deviation.what in _ON_ANY_STEP or state.opened.plan.step(deviation.step).metal is not None


def _but_for(found: list[Deviation]) -> str:
    if not found:
        return ""
    *numbers, last = [str(one.number) for one in found]
    if not numbers:
        return f" but for deviation {last}, {shown(found[0].what)}"
    return f" but for deviations {', '.join(numbers)} and {last}"
