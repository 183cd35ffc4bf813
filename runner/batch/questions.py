"""What is asked of the operator now, and what comes next.

Owns the order of questions: those of the step under way, those of the lift, then what the next step
needs to know before it, so that nothing is asked while a rack drips if it could be asked sooner. Both the
walk screen and a rehearsal go by `next_action`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, NamedTuple

from runner.batch.clocks import out_of_tank
from runner.batch.moment import Moment
from runner.batch.state import BatchState, Deviation, Phase, StepRun
from runner.batch.timer import Progress, progress
from runner.procedure.sheet import PlannedCheck, PlannedStep

QUIET_S = 60.0
"""Least time left in a dwell for a reason to be asked in it (common practice: hands are free)."""

ActionName = Literal[
    "answer",
    "confirm",
    "wait",
    "lift",
    "enter",
    "resume",
    "sign",
    "override",
    "explain",
    "settle",
    "release",
    "none",
]


class Question(NamedTuple):
    """One check that wants its answer: `check` counts the step's checks from 0."""

    step: int
    check: int
    asked: PlannedCheck


@dataclass(frozen=True, slots=True)
class Action:
    """What to do now.

    Attributes:
        name: The action; "none" once the batch has ended.
        step: The step it concerns, or 0.
        question: For "answer".
        deviation: For "explain" and "settle".
        number: For "override": of the finding.
        wait_s: For "wait": seconds until the lift; None where a pause or a hand decides.
    """

    name: ActionName
    step: int = 0
    question: Question | None = None
    deviation: Deviation | None = None
    wait_s: float | None = None
    number: int = 0


def find_check(state: BatchState, step: int, check: int) -> PlannedCheck | None:
    """The planned check that an answer is for, or None where no such check can be answered yet.

    A check asked before entry can be answered from the step before on; the others from entry on, and
    until the release, since an answer that comes late is still better than none.
    """
    steps = state.opened.plan.steps
    if not 1 <= step <= len(steps) or not 0 <= check < len(steps[step - 1].checks):
        return None
    planned = steps[step - 1].checks[check]
    if planned.when == "before" and any(ahead.number == step for ahead in within_reach(state)):
        return planned
    entered = step < state.next_step and any(run.step == step for run in state.runs)
    return planned if entered else None


def within_reach(state: BatchState) -> Iterator[PlannedStep]:
    """Steps to come that are asked about now, since no step before them leaves time to ask.

    A rinse of twenty seconds is no place to read cautions in: what chromium needs to be told is asked
    while the rack still sits in the nickel before that rinse.
    """
    for step in state.opened.plan.steps[state.next_step - 1 :]:
        yield step
        if step.tank is None or (step.dwell_s or 0.0) >= QUIET_S:
            return


def latest_run(state: BatchState, step: int) -> StepRun | None:
    """The last time through a step, or None where it was never entered."""
    return next((run for run in reversed(state.runs) if run.step == step), None)


def open_questions(state: BatchState) -> Iterator[Question]:
    """Checks that want an answer now, in the order in which they are asked."""
    run = state.run
    if run is not None and state.inside:
        step = state.opened.plan.step(run.step)
        # Hand work ends when it is called done, so its last look is asked before that.
        yield from unanswered(state, run, ("during",) if step.tank else ("during", "after"))
    for left in {run.step: run for run in state.runs}.values():
        if left.left is not None and left.step < state.next_step:
            yield from unanswered(state, left, ("after",))


def early_questions(state: BatchState, step: PlannedStep) -> Iterator[Question]:
    """Checks of a step to come that are asked before it is entered, and have no answer yet."""
    given = {answer.check for number, answer in state.early_answers if number == step.number}
    for index, check in enumerate(step.checks):
        if check.when == "before" and index not in given:
            yield Question(step.number, index, check)


def unanswered(state: BatchState, run: StepRun, when: tuple[str, ...]) -> Iterator[Question]:
    """Checks of one time through a step that are asked then, and have no answer yet."""
    given = {answer.check for answer in run.answers}
    for index, check in enumerate(state.opened.plan.step(run.step).checks):
        if check.when in when and index not in given:
            yield Question(run.step, index, check)


def cautions_due(state: BatchState, step: PlannedStep) -> bool:
    """Whether a step to come has cautions that nobody has confirmed yet."""
    return bool(step.confirm) and all(number != step.number for number, _ in state.confirmed)


def unsettled_matters(state: BatchState) -> tuple[str, ...]:
    """What a release waits for, in words."""
    matters = [f"deviation {d.number} is not settled" for d in state.deviations if d.disposition is None]
    latest = {run.step: run for run in state.runs}
    for step in state.opened.plan.steps:
        run = latest.get(step.number)
        if step.sign and (run is None or not run.signatures):
            matters.append(f"step {step.number} is not signed by the {state.signer(step)}")
    matters += [f"step {q.step}: {q.asked.ask!r} is not answered" for q in open_questions(state)]
    return tuple(matters)


def current_progress(state: BatchState, now: Moment) -> Progress | None:
    """How far the step under way is, or None between steps."""
    if state.run is None or state.step is None or not state.inside:
        return None
    return progress(state.step, state.run, now, state.opened.plan.overstay_share)


def has_meter(state: BatchState) -> bool:
    """Whether a meter can be read: of the step under way, or of the one just left."""
    return bool(state.runs) and state.opened.plan.step(state.runs[-1].step).energised


def hears_first(state: BatchState) -> bool:
    """Whether the call to lift is acknowledged before the lift: of a long dwell, by which nobody stood."""
    step, run = state.step, state.run
    long = step is not None and step.tank is not None and (step.dwell_s or 0) >= QUIET_S
    return long and run is not None and run.acknowledged is None


def next_action(state: BatchState, now: Moment) -> Action:
    """The one thing to do now."""
    match state.phase:
        case Phase.RELEASED | Phase.ABANDONED:
            return Action("none")
        case Phase.PAUSED:
            return Action("resume", state.runs[-1].step)
        case Phase.IN_STEP:
            return _in_step(state, now)
        case Phase.WAITING | Phase.BETWEEN:
            return _between(state)
        case Phase.WALKED:
            return _walked(state)


def _in_step(state: BatchState, now: Moment) -> Action:
    run, step = state.run, state.step
    done = current_progress(state, now)
    assert run is not None and step is not None and done is not None
    if question := next(open_questions(state), None):
        return Action("answer", question.step, question)
    if done.due and step.tank:
        return Action("lift", run.step)
    if early := _early(state):
        return early
    if unexplained := _unexplained(state, done):
        return Action("explain", unexplained.step, deviation=unexplained)
    if done.left_s is not None and not done.due:
        return Action("wait", run.step, wait_s=done.left_s)
    if step.sign and not step.tank and not run.signatures:
        return Action("sign", run.step)
    return Action("lift", run.step)


def _early(state: BatchState) -> Action | None:
    """What the steps to come want to know beforehand."""
    for step in within_reach(state):
        if question := next(early_questions(state, step), None):
            return Action("answer", question.step, question)
        if cautions_due(state, step):
            return Action("confirm", step.number)
    return None


def _gone_back(state: BatchState) -> bool:
    """Whether a step is to be redone: what was confirmed the first time counts no more.

    No step lies before it in which that could be asked, nor is there time for it in a short one after it.
    """
    return bool(state.runs) and state.runs[-1].step >= state.next_step


def _unexplained(state: BatchState, done: Progress) -> Deviation | None:
    if done.left_s is not None and done.left_s < QUIET_S:
        return None
    return next((d for d in state.deviations if d.reason is None), None)


def _between(state: BatchState) -> Action:
    step: PlannedStep | None = state.step
    clock = out_of_tank(state)
    if state.phase is Phase.WAITING and state.barred_by is not None:
        return Action("override", number=state.barred_by)
    if question := next(open_questions(state), None):
        return Action("answer", question.step, question)
    if (
        step is not None
        and state.runs[-1].step < state.next_step
        and step.sign
        and not state.runs[-1].signatures
    ):
        return Action("sign", step.number)
    # A rack that drips against a limit goes on; what was not asked in time is a deviation, not a delay.
    dripping = clock is not None and clock.limit_s is not None
    if (_gone_back(state) or not dripping) and (early := _early(state)):
        return early
    return Action("enter", state.next_step)


def _walked(state: BatchState) -> Action:
    if question := next(open_questions(state), None):
        return Action("answer", question.step, question)
    for deviation in state.deviations:
        if deviation.reason is None:
            return Action("explain", deviation.step, deviation=deviation)
        if deviation.disposition is None:
            return Action("settle", deviation.step, deviation=deviation)
    for step in state.opened.plan.steps:
        run = latest_run(state, step.number)
        if step.sign and run is not None and not run.signatures:
            return Action("sign", step.number)
    return Action("release")
