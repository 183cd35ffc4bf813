"""The order of a batch, against a second, naive telling of it written for this test alone.

The second telling is for one route only (`HELD_STEPS`) and keeps its few facts in plain sets, worked out
by hand from the route; it shares no code with the room it checks.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.batch import events as ev
from runner.batch.events import Where
from runner.batch.evolve import evolve, opened
from runner.batch.transitions import TABLE, objection, opening_objection
from support.batches import CHARGEHAND, HELD_STEPS, OPERATOR, START, STEPS, opening

ASKED_AHEAD = {1: {1}, 2: {2}, 3: {3, 4}, 4: {4}, 5: {5}, 6: set[int]()}
"""By the step to come: those asked about already. The rinse (3) is too short to ask in, so 4 is with it."""

VALUES = {(2, 0): "during", (2, 1): "before", (4, 0): "before"}
CHOICES = {(1, 0): "after", (2, 2): "after"}
CAUTIONS = {2: ("Current on before the rack goes in",), 4: ("Extraction running",)}
HOLDS = {1: "operator", 4: "operator", 5: "chargehand"}
ENERGISED = {2, 4}
AREA_DM2 = 10.0
PIECES = 4


@dataclass
class Naive:
    """What a plater's slate would hold of a batch."""

    doing: str = "waiting"
    at: int = 0
    next: int = 1
    entered: set[int] = field(default_factory=set)
    signed: set[int] = field(default_factory=set)
    looked: set[tuple[int, int]] = field(default_factory=set)
    deviations: list[str] = field(default_factory=list)

    def allows(self, event: ev.Event) -> bool:
        """Whether this may happen now."""
        if self.doing == "ended":
            return False
        here = getattr(event, "step", None) == self.at
        match event:
            case ev.BatchOpened():
                return False
            case ev.CautionsConfirmed(step, cautions):
                return step in ASKED_AHEAD[self.next] and cautions == CAUTIONS.get(step, ())
            case ev.StepEntered(step):
                held = self.at in HOLDS and self.at not in self.signed and self.next == self.at + 1
                return self.doing in {"waiting", "between"} and step == self.next and not held
            case ev.ValueGiven(step, check, value):
                return value < 1e10 and self.answerable(step, VALUES.get((step, check)))
            case ev.ChoiceGiven(step, check, choice):
                return choice == "even, bright" and self.answerable(step, CHOICES.get((step, check)))
            case ev.CurrentRead(_, figure, area) | ev.ChargeRead(_, figure, area):
                shared = area is None or area >= AREA_DM2
                return self.doing == "in step" and here and self.at in ENERGISED and figure >= 0 and shared
            case ev.TimerPaused():
                return self.doing == "in step" and here
            case ev.TimerResumed():
                return self.doing == "paused" and here
            case ev.AlarmAcknowledged() | ev.StepLeft():
                return self.doing in {"in step", "paused"} and here
            case ev.StepSigned(_, meaning, _):
                return here and HOLDS.get(self.at) == meaning and self.at not in self.signed
            case ev.StepRedone(step, _):
                return self.doing in {"between", "walked"} and 0 < step < self.next
            case ev.NoteWritten(step, _):
                return 0 <= step <= 5
            case ev.DeviationRaised(number, step, _, _):
                return number == len(self.deviations) + 1 and 0 <= step <= 5
            case ev.DeviationExplained(number, _):
                return 1 <= number <= len(self.deviations) and self.deviations[number - 1] == "raised"
            case ev.DeviationSettled(number, _, _):
                return 1 <= number <= len(self.deviations) and self.deviations[number - 1] == "explained"
            case ev.BatchReleased(pieces, _):
                complete = self.signed == set(HOLDS) and self.looked == set(CHOICES)
                settled = all(deviation == "settled" for deviation in self.deviations)
                return self.doing == "walked" and complete and settled and 0 <= pieces <= PIECES
            case _:
                return True

    def answerable(self, step: int, when: str | None) -> bool:
        """A check asked before its step can be answered ahead, every other one from its step on."""
        if when is None:
            return False
        return (step < self.next and step in self.entered) or (
            when == "before" and step in ASKED_AHEAD[self.next]
        )

    def take(self, event: ev.Event) -> None:
        """Write it on the slate."""
        match event:
            case ev.StepEntered(step):
                self.doing, self.at, self.next = "in step", step, step + 1
                self.entered.add(step)
                self.signed.discard(step)
                self.looked = {look for look in self.looked if look[0] != step}
            case ev.ChoiceGiven(step, check, _):
                self.looked.add((step, check))
            case ev.TimerPaused():
                self.doing = "paused"
            case ev.TimerResumed():
                self.doing = "in step"
            case ev.StepLeft(step):
                self.doing = "walked" if step == 5 else "between"
            case ev.StepSigned(step):
                self.signed.add(step)
            case ev.StepRedone(step):
                self.doing, self.next = "between", step
            case ev.DeviationRaised():
                self.deviations.append("raised")
            case ev.DeviationExplained(number):
                self.deviations[number - 1] = "explained"
            case ev.DeviationSettled(number):
                self.deviations[number - 1] = "settled"
            case ev.BatchReleased() | ev.BatchAbandoned():
                self.doing = "ended"


def universe() -> list[ev.Event]:
    """Every event with figures in and out of place."""
    steps, places, numbers = range(7), [(s, c) for s in range(7) for c in range(-1, 4)], range(4)
    return [
        opening(HELD_STEPS),
        ev.BatchTaken(OPERATOR),
        *(ev.CautionsConfirmed(step, CAUTIONS.get(step, ())) for step in steps),
        ev.CautionsConfirmed(2, ("Something else",)),
        *(kind(step) for step in steps for kind in (ev.StepEntered, ev.StepLeft)),
        *(kind(step) for step in steps for kind in (ev.TimerResumed, ev.AlarmAcknowledged)),
        *(ev.TimerPaused(step, Where.LIFTED) for step in steps),
        *(ev.ValueGiven(*place, 4.0) for place in places),
        ev.ValueGiven(2, 1, 1e300),
        *(ev.ChoiceGiven(*place, "even, bright") for place in places),
        ev.ChoiceGiven(2, 2, "blue"),
        *(ev.CurrentRead(step, 40.0) for step in steps),
        *(ev.ChargeRead(step, 5.0) for step in steps),
        *(ev.CurrentRead(2, 80.0, area) for area in (9.0, 10.0, 20.0)),
        ev.CurrentRead(2, -1.0),
        ev.ChargeRead(2, -1.0),
        *(ev.StepSigned(step, "operator", OPERATOR) for step in steps),
        *(ev.StepSigned(step, "chargehand", CHARGEHAND) for step in steps),
        *(ev.StepRedone(step, "again") for step in steps),
        *(ev.NoteWritten(step, "a remark") for step in (-1, 0, 5, 6)),
        *(ev.DeviationRaised(number, step, "odd", "very") for number in numbers for step in (-1, 0, 5, 6)),
        *(ev.DeviationExplained(number, "a slip") for number in numbers),
        *(ev.DeviationSettled(number, "reworked", CHARGEHAND) for number in numbers),
        ev.ClockStepped(3.0),
        ev.TailSetAside(3, "0" * 64, "AAAA"),
        *(ev.BatchReleased(pieces, CHARGEHAND) for pieces in (-1, 0, PIECES, PIECES + 1)),
        ev.BatchAbandoned("fallen in", OPERATOR),
    ]


EVENTS = universe()
ONWARD = [
    {"step-left", "step-entered", "step-signed", "choice-given", "batch-released"},
    {"step-redone", "timer-paused", "timer-resumed", "value-given", "current-read", "cautions-confirmed"},
    {"deviation-raised", "deviation-explained", "deviation-settled", "batch-abandoned", "step-left"},
]
"""What a walk of this test goes on with: mostly forward, now and then back or aside."""
TURN = st.tuples(st.sampled_from([0, 0, 0, 0, 0, 1, 1, 2]), st.integers(0, 1000))


IN_ORDER: list[ev.Event] = [
    ev.StepEntered(1),
    ev.ChoiceGiven(1, 0, "even, bright"),
    ev.StepSigned(1, "operator", OPERATOR),
    ev.StepLeft(1),
    ev.StepEntered(2),
    ev.StepLeft(2),
    ev.ChoiceGiven(2, 2, "even, bright"),
    ev.StepEntered(3),
    ev.StepLeft(3),
    ev.StepEntered(4),
    ev.StepLeft(4),
    ev.StepSigned(4, "operator", OPERATOR),
    ev.StepEntered(5),
    ev.StepSigned(5, "chargehand", CHARGEHAND),
    ev.StepLeft(5),
    ev.BatchReleased(PIECES, CHARGEHAND),
]


@settings(max_examples=60)
@given(st.integers(0, len(IN_ORDER)), st.lists(TURN, min_size=4, max_size=40))
def test_every_event_may_happen_exactly_when_the_slate_says_so(
    in_order: int, turns: list[tuple[int, int]]
) -> None:
    """In every state reached, each of some two hundred events is permitted by both tellings or by neither."""
    naive, state = Naive(), opened(opening(HELD_STEPS), START)
    for event in IN_ORDER[:in_order]:
        assert naive.allows(event) and objection(state, event) is None
        naive.take(event)
        state = evolve(state, event, START, OPERATOR.id)
    for way, pick in [*turns, (0, 0)]:
        allowed = [event for event in EVENTS if naive.allows(event)]
        assert [event for event in EVENTS if objection(state, event) is None] == allowed
        onward = [event for event in allowed if event.kind in ONWARD[way]]
        if onward:
            naive.take(onward[pick % len(onward)])
            state = evolve(state, onward[pick % len(onward)], START, OPERATOR.id)
    assert state.phase.ended == (naive.doing == "ended")


def test_every_event_has_its_row() -> None:
    """The table names every kind but the opening, which is the first line and nothing else."""
    assert set(TABLE) == set(ev.KINDS.values()) - {ev.BatchOpened}
    assert {event.kind for event in EVENTS} == set(ev.KINDS)


def test_no_phase_leads_out_of_an_end() -> None:
    """No row lets anything happen in a batch that was released or abandoned."""
    assert not any(phase.ended for phases, _ in TABLE.values() for phase in phases)


def test_a_journal_opens_with_its_opening() -> None:
    """The first line opens the batch; no other event can, and no second opening follows."""
    assert opening_objection(opening()) is None
    assert objection(opened(opening(), START), opening()) is not None
    for event in EVENTS[1:]:
        assert opening_objection(event) is not None


@pytest.mark.parametrize(
    ("first", "says"),
    [
        (replace(opening(), format=ev.FORMAT + 1), "format 2"),
        (opening(steps=()), "numbered"),
        (opening(steps=STEPS[1:]), "numbered"),
        (opening(steps=(STEPS[0], STEPS[0])), "numbered"),
        (opening(steps=(STEPS[0], replace(STEPS[1], efficiency=((4.0, 1.2),)))), "step 2"),
    ],
    ids=["of another format", "no steps", "from 2 on", "numbered twice", "efficiency over 1"],
)
def test_an_opening_with_a_plan_out_of_order_opens_nothing(first: ev.BatchOpened, says: str) -> None:
    """A format not known here, steps not numbered 1 to n, or an impossible efficiency is objected to."""
    assert says in (opening_objection(first) or "")
