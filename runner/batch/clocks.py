"""The clocks between tanks: how long the rack has been out, how long the current has been off.

Owns when each starts, stops and against what it runs. Fresh nickel passivates in air and under rinse
water alike, so the current-off clock runs through rinses, from current off to current on.
"""

from __future__ import annotations

from runner.batch.moment import Moment, elapsed_s
from runner.batch.state import BatchState, Pause, Phase, StepRun
from runner.batch.terms import Where
from runner.plain_data import Plain


class Clock(Plain, frozen=True):
    """A clock that counts up against a limit.

    Attributes:
        since: When it started.
        limit_s: What it runs against, or None where the procedure sets none.
        step: Number of the step whose limit that is.
    """

    since: Moment
    limit_s: float | None
    step: int

    def ran_s(self, now: Moment) -> float:
        """Seconds on it."""
        return elapsed_s(self.since, now)

    def over_s(self, now: Moment) -> float | None:
        """Seconds past the limit, below zero while inside it; None without a limit."""
        return None if self.limit_s is None else self.ran_s(now) - self.limit_s


def out_of_tank(state: BatchState) -> Clock | None:
    """The out-of-tank clock, or None while the rack is in a tank or was never in one."""
    run = state.run
    if run is None or state.phase.ended:
        return None
    step = state.opened.plan.step(run.step)
    if state.phase is Phase.PAUSED and run.pauses[-1].where is Where.LIFTED and step.tank:
        return Clock(run.pauses[-1].began, step.next_within_s, run.step)
    if state.phase in {Phase.BETWEEN, Phase.WALKED} and run.left and (step.tank or step.next_within_s):
        unended = _unended_pause(run)
        since = unended.began if unended and unended.where is Where.LIFTED else run.left
        return Clock(since, step.next_within_s, run.step)
    return None


def _unended_pause(run: StepRun) -> Pause | None:
    """The pause that a step was left in: rack or current never came back, so the clocks run from there."""
    return run.pauses[-1] if run.left and run.pauses and run.pauses[-1].ended == run.left else None


def when_on(state: BatchState, now: Moment) -> Moment:
    """The moment that a meter reading tells of: now, or when the current went off where it is noted later.

    Between the lift and the next tank a hand has no time to type; what the meter showed is still a fact of
    the step just left.
    """
    run = state.runs[-1]
    if state.phase is Phase.PAUSED:
        return run.pauses[-1].began
    return run.left or now


def current_off(state: BatchState) -> Clock | None:
    """The current-off clock of the last energised step, or None while current is on or none has been."""
    if state.phase.ended:
        return None
    for run in reversed(state.runs):
        if state.opened.plan.step(run.step).energised:
            return _off_since(state, run)
    return None


def hangs(state: BatchState) -> bool:
    """Whether the rack is in a tank now: in its step, or paused without having been lifted."""
    run, step = state.run, state.step
    if run is None or step is None or step.tank is None or not state.inside:
        return False
    return state.phase is Phase.IN_STEP or run.pauses[-1].where is not Where.LIFTED


def time_goes_on(state: BatchState) -> bool:
    """Whether the time of the step under way runs: a dip goes on working through a pause in its tank."""
    if state.phase is Phase.IN_STEP:
        return True
    return hangs(state) and state.step is not None and not state.step.energised


def plates_on(state: BatchState) -> bool:
    """Whether metal is still to be deposited, in a step to come or in the one that is paused."""
    here = state.phase is Phase.PAUSED and state.step is not None and state.step.metal is not None
    return here or any(step.metal for step in state.opened.plan.steps[state.next_step - 1 :])


def _off_since(state: BatchState, run: StepRun) -> Clock | None:
    limit_s = state.opened.plan.step(run.step).current_within_s
    if run is state.run and state.phase is Phase.IN_STEP:
        return None
    if run is state.run and state.phase is Phase.PAUSED:
        return Clock(run.pauses[-1].began, limit_s, run.step)
    unended = _unended_pause(run)
    since = unended.began if unended else run.left
    return Clock(since, limit_s, run.step) if since else None
