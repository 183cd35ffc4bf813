"""Whole walks by anybody, in any order, at any time: what holds whatever happens."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from itertools import pairwise
from typing import get_args

from hypothesis import given, settings
from hypothesis import strategies as st

from runner.batch import events as ev
from runner.batch import intents as do
from runner.batch.alarms import Alarm
from runner.batch.clocks import current_off, out_of_tank
from runner.batch.decide import Refused
from runner.batch.evolve import evolve, opened
from runner.batch.intents import Intent
from runner.batch.kinds import event_data, read_event
from runner.batch.moment import Moment
from runner.batch.questions import current_progress, next_action
from runner.batch.state import BatchState
from runner.batch.terms import Disposition, Person, Where
from runner.batch.transitions import objection
from runner.procedure.sheet import PlannedStep
from support.batches import HELD_STEPS, OPERATOR, PEOPLE, STEPS, Walker, later

MOST_ACTIONS = 150
"""More than any walk of these five steps can still ask for, with a deviation in every one of them."""

STEP = st.sampled_from([1, 2, 3, 4, 5, 6, 0, -1])
FIGURE = st.sampled_from([0.0, 1.0, 4.0, 10.0, 40.0, 80.0, 500.0]) | st.floats()
AREA = st.none() | st.sampled_from([0.0, 5.0, 20.0]) | st.floats()
LINE = st.integers(0, 20)
TEXT = st.just("a remark") | st.sampled_from(["", "\x1b[31m", "x" * 600]) | st.text(max_size=8)
CHOICE = st.sampled_from(["none", "broken", "even, bright", "burnt edge", "blue"])

INTENTS: dict[type[Intent], st.SearchStrategy[Intent]] = {
    do.Override: st.builds(do.Override, st.integers(-1, 3), TEXT),
    do.Take: st.builds(do.Take),
    do.Confirm: st.builds(do.Confirm, STEP),
    do.Enter: st.builds(do.Enter),
    do.AnswerValue: st.builds(do.AnswerValue, STEP, st.integers(-1, 3), FIGURE, AREA),
    do.AnswerChoice: st.builds(do.AnswerChoice, STEP, st.integers(-1, 3), CHOICE),
    do.ReadCurrent: st.builds(do.ReadCurrent, FIGURE, AREA),
    do.ReadCharge: st.builds(do.ReadCharge, FIGURE, AREA),
    do.Correct: st.builds(do.Correct, LINE, TEXT, FIGURE)
    | st.builds(do.Correct, LINE, TEXT, st.none() | FIGURE, st.none() | CHOICE),
    do.Interrupt: st.builds(do.Interrupt, st.sampled_from(Where)),
    do.Resume: st.builds(do.Resume),
    do.Shelve: st.builds(do.Shelve, st.sampled_from(Alarm) | TEXT, FIGURE),
    do.Acknowledge: st.builds(do.Acknowledge),
    do.Leave: st.builds(do.Leave),
    do.Sign: st.builds(do.Sign),
    do.Redo: st.builds(do.Redo, STEP, TEXT),
    do.WriteNote: st.builds(do.WriteNote, TEXT),
    do.Report: st.builds(do.Report, TEXT),
    do.Explain: st.builds(do.Explain, st.integers(-1, 4), TEXT),
    do.Settle: st.builds(do.Settle, st.integers(-1, 4), st.sampled_from(get_args(Disposition))),
    do.Release: st.builds(do.Release, st.integers(-1, 5)),
    do.Abandon: st.builds(do.Abandon, TEXT),
}
ANYTHING = st.one_of(*INTENTS.values())
FOLLOW = st.none()
"""In place of an intent: whatever the walk asks for, so that runs get far enough to go wrong late."""

WAIT_S = st.sampled_from([0.0, 1.0, 20.0, 31.0, 240.0, 1800.0]) | st.floats(0, 1e5)
CLOCK_S = st.just(0.0) | st.sampled_from([-3600.0, 1.5, 2.5])
MOSTLY = st.sampled_from([True, True, True, False])
REBOOT = st.sampled_from([False] * 15 + [True])
Setting = tuple[float, float, bool, Person, bool, bool]
Turn = tuple[Intent | None, Setting]


def turns(people: Sequence[Person]) -> st.SearchStrategy[list[Turn]]:
    """What might come in, from whom, after how long, with the key locked or not, after a good beginning."""
    setting = st.tuples(WAIT_S, CLOCK_S, REBOOT, st.sampled_from(people), MOSTLY, MOSTLY)
    good: Turn = (None, (0.0, 0.0, False, OPERATOR, True, True))
    beginning = st.integers(0, 25).map(lambda length: [good] * length)
    return st.tuples(beginning, st.lists(st.tuples(FOLLOW | ANYTHING, setting), min_size=8, max_size=30)).map(
        lambda parts: parts[0] + parts[1]
    )


WALKERS = [person for person in PEOPLE if person.role in {"owner", "operator", "chargehand"}]
ROUTES = st.sampled_from([STEPS, HELD_STEPS])
Steps = tuple[PlannedStep, ...]


def on(moment: Moment, wait_s: float, clock_s: float, *, reboot: bool) -> Moment:
    """Some time later, with the clock set or the machine started again in between."""
    moment = later(moment, wait_s)
    moment = moment._replace(at_ms=moment.at_ms + round(clock_s * 1000))
    return moment._replace(boot=f"{moment.boot}'", up_ms=9000) if reboot else moment


def reads(state: BatchState, now: Moment) -> None:
    """Everything that a screen would ask of a state."""
    next_action(state, now)
    done = current_progress(state, now)
    for figure in (done.left_s, done.charge_ah, done.mean_um, done.must_s) if done else ():
        assert figure is None or math.isfinite(figure)
    for clock in (out_of_tank(state), current_off(state)):
        assert clock is None or clock.ran_s(now) >= 0


def stumble(walker: Walker, happenings: list[Turn]) -> None:
    """Take a batch through any turns; only `Refused` may stop one, and then nothing has changed."""
    for intent, (wait_s, clock_s, reboot, by, unlocked, fresh) in happenings:
        walker.now = on(walker.now, wait_s, clock_s, reboot=reboot)
        reads(walker.state, walker.now)
        before = walker.state
        try:
            if intent is not None:
                walker.do(intent, by, fresh=fresh, unlocked=unlocked)
            elif walker.action() != "none":
                walker.follow()
        except Refused:
            assert walker.state is before
        reads(walker.state, walker.now)


def refold(walker: Walker) -> BatchState:
    """The state told again from what a journal would hold: each event as JSON, with its time and hand."""
    state: BatchState | None = None
    for (event, moment), who in zip(walker.events, walker.hands, strict=True):
        again = read_event(event.kind, json.loads(json.dumps(event_data(event), allow_nan=False)))
        assert again == event
        if state is None:
            assert isinstance(again, ev.BatchOpened)
            state = opened(again, moment)
        else:
            assert objection(state, again) is None
            state = evolve(state, again, moment, who)
    assert state is not None
    return state


@settings(max_examples=60, deadline=None)
@given(ROUTES, turns(PEOPLE))
def test_nothing_but_a_refusal_stops_an_intent(steps: Steps, happenings: list[Turn]) -> None:
    """Whatever is asked, by anybody, at any time, is taken or refused, and can always be shown."""
    stumble(Walker(steps=steps), happenings)


@settings(max_examples=60, deadline=None)
@given(ROUTES, turns(PEOPLE))
def test_the_events_tell_the_state_again(steps: Steps, happenings: list[Turn]) -> None:
    """From JSON and back, every event passes the gate in its place, and the fold is the same state."""
    walker = Walker(steps=steps)
    stumble(walker, happenings)
    assert refold(walker) == walker.state


@settings(max_examples=60, deadline=None)
@given(ROUTES, turns(PEOPLE))
def test_what_is_once_written_stays(steps: Steps, happenings: list[Turn]) -> None:
    """Deviations are numbered from 1 without a gap, runs follow one another, and counts match the events."""
    walker = Walker(steps=steps)
    stumble(walker, happenings)
    state, kinds = walker.state, [event.kind for event, _ in walker.events]
    assert [deviation.number for deviation in state.deviations] == [*range(1, len(state.deviations) + 1)]
    assert len(state.runs) == kinds.count("step-entered")
    assert sum(run.left is not None for run in state.runs) == kinds.count("step-left")
    assert sum(len(run.readings) for run in state.runs) == kinds.count("current-read") + kinds.count(
        "charge-read"
    )
    assert len(state.notes) == kinds.count("note-written")
    for before, after in pairwise(state.runs):
        assert before.left is not None
        assert after.step <= before.step + 1
    for run in state.runs:
        assert run.attempt == sum(other.step == run.step for other in state.runs[: state.runs.index(run) + 1])


@settings(max_examples=40, deadline=None)
@given(ROUTES, turns(WALKERS))
def test_following_the_walk_ends_in_a_release(steps: Steps, happenings: list[Turn]) -> None:
    """Wherever people who may walk have got to, what is asked for next can be done, and leads out."""
    walker = Walker(steps=steps)
    stumble(walker, happenings)
    for _ in range(MOST_ACTIONS):
        if walker.action() == "none":
            break
        walker.follow()
    assert walker.state.phase.ended


@given(
    ANYTHING, st.integers(-(10**15), 10**15), st.integers(-(10**15), 10**15), st.sampled_from(["boot-a", "x"])
)
def test_a_moment_out_of_all_order_breaks_nothing(intent: Intent, at_ms: int, up_ms: int, boot: str) -> None:
    """A clock that is years off, or an uptime that ran backwards, gets its answer like any other."""
    walker = Walker().to_nickel().wait(600)
    walker.do(do.ReadCurrent(40))
    walker.now = Moment(at_ms, boot, up_ms)
    stumble(
        walker, [(intent, (0, 0, False, OPERATOR, True, True)), (None, (5, 0, False, OPERATOR, True, True))]
    )


def test_these_walks_try_every_intent() -> None:
    """None is left out of what might come in."""
    assert set(INTENTS) == set(get_args(Intent))
