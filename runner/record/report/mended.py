"""Deviations that a wrong entry raised: what the entry was corrected to afterwards.

Owns the finding of the entry that raised a deviation, and the words for its correction. The deviation itself
stays as it was raised: the record holds both figures, and paper that tells of one must tell of the other.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.batch.state import Answer, BatchState, Deviation, Reading, StepRun
from runner.batch.terms import Departure
from runner.procedure.sheet import PlannedStep
from runner.record.report.checks import seen
from runner.record.report.figures import Figures
from runner.text import shown
from runner.units import Kind

OF_METER = " on the meter is "
"""How the detail of a deviation tells a current that a meter showed."""


def mended(state: BatchState, deviation: Deviation, figures: Figures) -> str:
    """A sentence on what the entry behind a deviation was corrected to, or nothing where it was not."""
    for run in state.runs:
        if run.step == deviation.step:
            for told in _of_run(state.opened.plan.step(run.step), run, deviation, figures):
                return f"The entry was corrected to {told}"
    return ""


def _of_run(step: PlannedStep, run: StepRun, deviation: Deviation, figures: Figures) -> Iterator[str]:
    for answer in run.answers:
        check = step.checks[answer.check]
        unit = f" {check.unit}" if check.unit else ""
        now = seen(check, answer, figures)
        for wrong, told in _corrections(answer, deviation, unit, now):
            if deviation.detail.startswith(f"{shown(check.ask)}: {shown(wrong)}"):
                yield told
    for reading in run.readings:
        figure, kind = (reading.ah, Kind.CHARGE) if reading.amps is None else (reading.amps, Kind.CURRENT)
        for _, told in _corrections(reading, deviation, "", figures.of(figure, kind)):
            if OF_METER in deviation.detail or deviation.what == Departure.COUNT_FELL:
                yield told


def _corrections(
    entry: Answer | Reading, deviation: Deviation, unit: str, now: str
) -> Iterator[tuple[str, str]]:
    """The figure that stood in an entry when a deviation was raised, with all that it was corrected to.

    A deviation is raised at the very moment of the fact behind it: of the entry, or of a correction that
    was still outside.
    """
    moments = [entry.moment, *(one.moment for one in entry.was)]
    stood = [*(f"{one.was}{unit}" for one in entry.was), now]
    for at in range(len(entry.was)):
        if moments[at] == deviation.raised:
            after = zip(stood[at + 1 :], entry.was[at:], strict=True)
            yield stood[at], ", then to ".join(f"{figure} ({one.reason})" for figure, one in after)
