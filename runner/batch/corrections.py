"""Entries put right: a wrong figure is corrected by a new line that names the old one, and both stay.

Owns the finding of an entry by its line and what a correction does to it. The moment of the entry stays
what it was, so a meter's reading that was mistyped moves the charge counted from it; the wrong figure, the
reason, who and when stay beside it for every report.
"""

from __future__ import annotations

import math

from msgspec.structs import replace

from runner.batch import events as ev
from runner.batch.moment import Moment
from runner.batch.state import Answer, BatchState, Correction, Reading, StepRun
from runner.text import unfit

Entry = Answer | Reading


def find_entry(state: BatchState, line: int) -> tuple[int, Entry] | None:
    """The run (by its place in `state.runs`) and the entry that a line of the journal made, or None."""
    for at, run in enumerate(state.runs):
        entries: tuple[Entry, ...] = (*run.answers, *run.readings)
        for entry in entries:
            if entry.line == line:
                return at, entry
    return None


def objection_to(state: BatchState, event: ev.EntryCorrected, largest: float) -> str | None:
    """Why a correction cannot stand, or None where it can."""
    found = find_entry(state, event.line)
    if found is None:
        return f"line {event.line} made no entry that could be corrected"
    at, entry = found
    if state.runs[at].step != event.step:
        return f"line {event.line} is an entry of another step"
    if not event.reason.strip() or unfit(event.reason):
        return "a correction needs its reason, in plain characters"
    if isinstance(entry, Answer) and entry.choice is not None:
        choices = state.opened.plan.step(event.step).checks[entry.check].choices
        return None if event.value is None and event.choice in choices else "that is none of the choices"
    if event.value is None or event.choice is not None or not math.isfinite(event.value):
        return "a figure is corrected by a figure"
    if abs(event.value) > largest:
        return "no meter shows that"
    return "a meter reading below zero" if isinstance(entry, Reading) and event.value < 0 else None


def corrected(state: BatchState, event: ev.EntryCorrected, moment: Moment, who: str) -> BatchState:
    """The state with an entry put right."""
    found = find_entry(state, event.line)
    assert found is not None  # objected to before
    at, entry = found
    run = state.runs[at]
    note = Correction(_figure(entry), event.reason, moment, who)
    if isinstance(entry, Answer):
        mended = replace(entry, value=event.value, choice=event.choice, was=(*entry.was, note))
        run = replace(run, answers=tuple(mended if one is entry else one for one in run.answers))
    else:
        run = _reading(run, entry, event, note)
    return replace(state, runs=(*state.runs[:at], run, *state.runs[at + 1 :]))


def _reading(run: StepRun, entry: Reading, event: ev.EntryCorrected, note: Correction) -> StepRun:
    amps, ah = (event.value, None) if entry.amps is not None else (None, event.value)
    mended = replace(entry, amps=amps, ah=ah, was=(*entry.was, note))
    return replace(run, readings=tuple(mended if one is entry else one for one in run.readings))


def _figure(entry: Entry) -> str:
    """What stood there, as it was read."""
    if isinstance(entry, Answer):
        return entry.choice if entry.choice is not None else f"{entry.value:g}"
    return f"{entry.amps:g} A" if entry.amps is not None else f"{entry.ah:g} A·h"


def same_reading(state: BatchState, answer: Answer) -> Reading | None:
    """The meter reading that an ammeter's answer was taken as, at the same moment; None where it was none."""
    for run in state.runs:
        if answer in run.answers:
            return next(
                (one for one in run.readings if one.moment == answer.moment and one.amps == answer.value),
                None,
            )
    return None
