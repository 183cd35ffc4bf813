"""Each step of a batch on paper: every time through it, in the order in which they happened.

Owns what belongs to one time through a step; figures, checks and drawings are each made beside this.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from runner.batch.state import BatchState, StepRun
from runner.batch.timer import Progress, progress
from runner.procedure.sheet import PlannedStep
from runner.record.report.checks import Read, Seen, checks, readings
from runner.record.report.drawn import Drawn, clock_drawn, current_drawn, dwell_drawn
from runner.record.report.figures import Figures, clock, when
from runner.record.report.rows import Row, current_rows, dwell_off, slack_used, time_rows, way_rows


@dataclass(frozen=True, slots=True)
class StepView:
    """One time through a step, or a step that was not reached.

    Attributes:
        walked: Whether it was entered at all.
        attempt: "second time through" and the like, or empty.
        deviations: Numbers of those raised in the step.
        drawn: Dwell, current, out of tank, current off; None where nothing is planned or was.
    """

    number: int
    name: str
    place: str
    walked: bool
    attempt: str = ""
    by: str = ""
    entered: str = ""
    left: str = ""
    rows: tuple[Row, ...] = ()
    checks: tuple[Seen, ...] = ()
    readings: tuple[Read, ...] = ()
    pauses: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    signatures: tuple[str, ...] = ()
    deviations: tuple[int, ...] = ()
    drawn: tuple[Drawn | None, ...] = (None, None, None, None)


def step_views(state: BatchState, figures: Figures, names: Mapping[str, str]) -> tuple[StepView, ...]:
    """Every time through a step in the order in which it happened, then the steps not reached.

    Args:
        state: The batch.
        figures: How figures are written.
        names: Printed names by id.
    """
    walked = [_walked(state, at, figures, names) for at in range(len(state.runs))]
    entered = {run.step for run in state.runs}
    missing = [
        StepView(step.number, step.name, _place(step), walked=False)
        for step in state.opened.plan.steps
        if step.number not in entered
    ]
    return (*walked, *missing)


def _walked(state: BatchState, at: int, figures: Figures, names: Mapping[str, str]) -> StepView:
    run = state.runs[at]
    plan = state.opened.plan
    step = plan.step(run.step)
    done = progress(step, run, state.last, plan.overstay_share)
    out_limit_s = plan.step(state.runs[at - 1].step).next_within_s if at else None
    energised = [earlier for earlier in state.runs[:at] if plan.step(earlier.step).energised]
    off_limit_s = plan.step(energised[-1].step).current_within_s if energised else None
    # A later run of the same step got the answers that came late, so only the last one can lack any.
    last = all(later.step != run.step for later in state.runs[at + 1 :])
    off, slack = dwell_off(run, done, plan.handling_s), slack_used(run, done, plan.handling_s)
    rows = (
        *time_rows(step, run, done, off, slack),
        *current_rows(step, run, done, figures),
        *way_rows(run, out_limit_s, off_limit_s),
    )
    return StepView(
        number=step.number,
        name=step.name,
        place=_place(step),
        walked=True,
        attempt=f"time through: {run.attempt}" if run.attempt > 1 else "",
        by=names.get(run.who, run.who),
        entered=when(run.entered),
        left=clock(run.left) if run.left else "still in it" if not state.phase.ended else "not left",
        rows=rows,
        checks=tuple(checks(step, run, figures, names, last=last)),
        readings=tuple(readings(step, run, figures, names)),
        pauses=tuple(_pauses(step, run)),
        remarks=tuple(_remarks(step, run, done)),
        signatures=tuple(
            f"{one.by.name}, {one.by.role}, {when(one.moment)}: signed as {one.meaning}"
            for one in run.signatures
        ),
        deviations=tuple(one.number for one in state.deviations if one.step == step.number),
        drawn=(
            dwell_drawn(step, done, off, slack, plan.overstay_share),
            current_drawn(step, run, figures),
            clock_drawn(run.out_s, out_limit_s),
            clock_drawn(run.off_s, off_limit_s),
        ),
    )


def _place(step: PlannedStep) -> str:
    told = (step.tank_title or step.tank, step.solution, step.rectifier and f"rectifier {step.rectifier}")
    return " · ".join(part for part in told if part) or "by hand"


def _pauses(step: PlannedStep, run: StepRun) -> Iterator[str]:
    for pause in run.pauses:
        where = f"{pause.where}: " if step.tank else ""  # hand work is interrupted, no rack is lifted for it
        yield f"{where}{when(pause.began)} to {clock(pause.ended) if pause.ended else 'the end'}"


def _remarks(step: PlannedStep, run: StepRun, done: Progress) -> Iterator[str]:
    if step.confirm:
        said = f"confirmed {when(run.confirmed)}" if run.confirmed else "NOT confirmed before entry"
        yield f"cautions ({len(step.confirm)}) {said}"
    if run.acknowledged:
        yield f"time up, acknowledged {clock(run.acknowledged)}"
    if done.by_wall_clock:
        yield "the machine was restarted in this step: its times are by wall clock"
    counts = [one.ah for one in run.readings if one.ah is not None]
    if any(later < earlier for earlier, later in pairwise(counts)):
        yield "the ampere-hour count fell: charge before that is by the ammeter"


def latest_deposits(state: BatchState) -> Iterator[tuple[PlannedStep, StepRun, Progress]]:
    """The last time through each step that laid metal down, as planned, as walked and as counted."""
    for step in state.opened.plan.steps:
        runs = [run for run in state.runs if run.step == step.number]
        if runs and step.metal and step.does in {"plate", "strike"}:
            yield step, runs[-1], progress(step, runs[-1], state.last, state.opened.plan.overstay_share)
