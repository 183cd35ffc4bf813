"""The entries of a walk in words: what was answered and read, for somebody who finds one of them wrong.

Must not know a screen library.
"""

from __future__ import annotations

import math

from runner.batch.corrections import Entry
from runner.batch.state import Answer, BatchState
from runner.procedure.sheet import PlannedCheck
from runner.text import shown

MOST = 9
"""As many as there are digits to choose by."""


def latest_entries(state: BatchState) -> tuple[Entry, ...]:
    """The last entries, the newest first; a reading that an answer was taken as goes with its answer."""
    entries: list[Entry] = []
    for run in state.runs:
        moments = {(answer.moment, answer.value) for answer in run.answers}
        entries += run.answers
        entries += [one for one in run.readings if (one.moment, one.amps) not in moments]
    return tuple(sorted(entries, key=lambda entry: entry.line, reverse=True)[:MOST])


def step_of(state: BatchState, entry: Entry) -> int:
    """Number of the step that an entry belongs to."""
    return next(run.step for run in state.runs if entry in run.answers or entry in run.readings)


def check_of(state: BatchState, answer: Answer) -> PlannedCheck:
    """The check that an answer was given to."""
    return state.opened.plan.step(step_of(state, answer)).checks[answer.check]


def entry_words(state: BatchState, entry: Entry) -> str:
    """One entry in a line: its step, what was asked, what was seen."""
    step = step_of(state, entry)
    if isinstance(entry, Answer):
        check = check_of(state, entry)
        seen = entry.choice if entry.choice is not None else f"{entry.value:g} {check.unit or ''}"
        return f"step {step}  {shown(check.ask, 34)}: {shown(seen, 24)}"
    seen = f"{entry.amps:g} A" if entry.amps is not None else f"{entry.ah:g} A·h"
    return f"step {step}  meter read: {seen}"


def figure(typed: str) -> float | None:
    """A number typed at the line, with a point or a comma; None where it is none."""
    try:
        value = float(typed.replace(",", "."))
    except ValueError:
        return None
    return value if math.isfinite(value) else None
