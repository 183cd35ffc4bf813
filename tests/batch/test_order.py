"""The order of a batch, against a second, naive telling of it written for this test alone."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from runner.batch import events as ev
from runner.batch.evolve import evolve, opened
from runner.batch.kinds import KINDS
from runner.batch.terms import Departure, Where
from runner.batch.transitions import TABLE, objection, opening_objection
from support.batches import CHARGEHAND, HELD_STEPS, OPERATOR, START, STEPS, TRAINEE, opening
from support.slate import CAUTIONS, PIECES, Naive


def about_deviations(raised: int) -> list[ev.Event]:
    """Events that name deviations, where so many have been raised."""
    last, ahead = range(max(0, raised - 2), raised + 2), range(raised, raised + 3)
    return [
        *(ev.DeviationRaised(raised + 1, step, what, "…") for step in range(-1, 7) for what in WHATS),
        *(ev.DeviationRaised(number, step, "odd", "…") for number in ahead for step in (0, 5)),
        *(ev.DeviationExplained(number, "a slip") for number in last),
        *(ev.DeviationSettled(number, "reworked", by) for number in last for by in (OPERATOR, CHARGEHAND)),
    ]


def about_entries(lines: int) -> list[ev.Event]:
    """Corrections of the entries that the last lines and the first may have made."""
    rights = [(4.0, None), (-4.0, None), (None, "even, bright"), (None, "burnt edge"), (None, "blue")]
    places = [(step, line) for line in (1, *range(lines - 5, lines + 2)) for step in (1, 2, 4)]
    return [
        *(ev.EntryCorrected(*place, "misread", *right) for place in places for right in rights),
        *(ev.EntryCorrected(*place, "misread") for place in places),
    ]


WHATS = [*(str(what) for what in Departure), "odd"]


def universe() -> list[ev.Event]:
    """Every other event, with figures and people in and out of place."""
    steps, places = range(7), [(s, c) for s in range(7) for c in range(-1, 4)]
    return [
        opening(HELD_STEPS),
        *(ev.BatchTaken(by) for by in (OPERATOR, TRAINEE)),
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
        *(ev.StepSigned(step, "operator", by) for step in steps for by in (OPERATOR, CHARGEHAND, TRAINEE)),
        *(ev.StepSigned(step, "chargehand", by) for step in steps for by in (OPERATOR, CHARGEHAND)),
        *(
            ev.AlarmShelved(2, alarm, s, OPERATOR)
            for alarm in ("overstayed", "time is up")
            for s in (0.0, 120.0, 121.0)
        ),
        ev.AlarmShelved(2, "time is up", 1801.0, OPERATOR),
        ev.AlarmShelved(2, "the phone", 60.0, OPERATOR),
        ev.AlarmShelved(2, "time is up", 60.0, TRAINEE),
        *(ev.StepRedone(step, "again") for step in steps),
        *(ev.NoteWritten(step, "a remark") for step in (-1, 0, 5, 6)),
        ev.ClockStepped(3.0),
        ev.TailSetAside(3, "0" * 64, "AAAA"),
        *(ev.BatchReleased(pieces, CHARGEHAND) for pieces in (-1, 0, PIECES, PIECES + 1)),
        ev.BatchReleased(PIECES, OPERATOR),
        *(ev.BatchAbandoned("fallen in", by) for by in (OPERATOR, TRAINEE)),
    ]


EVENTS = universe()
ONWARD = [
    {"step-left", "step-entered", "step-signed", "choice-given", "batch-released", "deviation-raised"},
    {
        "step-redone",
        "timer-paused",
        "timer-resumed",
        "value-given",
        "current-read",
        "cautions-confirmed",
        "entry-corrected",
    },
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


def settled(raised: list[ev.DeviationRaised]) -> list[ev.Event]:
    """Deviations raised, then each explained and settled."""
    explained = [ev.DeviationExplained(due.number, "no time passes here") for due in raised]
    return [*raised, *explained, *(ev.DeviationSettled(due.number, "reworked", CHARGEHAND) for due in raised)]


@settings(max_examples=40, deadline=None)
@given(st.integers(0, len(IN_ORDER)), st.lists(TURN, min_size=4, max_size=40))
def test_every_event_may_happen_exactly_when_the_slate_says_so(
    in_order: int, turns: list[tuple[int, int]]
) -> None:
    """In every state reached, each of four hundred events is permitted by both tellings or by neither."""
    naive, state = Naive(), opened(opening(HELD_STEPS), START)
    for event in IN_ORDER[:in_order]:
        assert naive.allows(event) and objection(state, event) is None
        naive.take(event)
        state = evolve(state, event, START, OPERATOR.id)
        for due in settled(naive.debts()):
            assert naive.allows(due) and objection(state, due) is None
            naive.take(due)
            state = evolve(state, due, START, OPERATOR.id)
    for way, pick in [*turns, (0, 0)]:
        events = [*EVENTS, *about_deviations(len(naive.deviations)), *about_entries(naive.lines)]
        allowed = [event for event in events if naive.allows(event)]
        assert [event for event in events if objection(state, event) is None] == allowed
        onward = [event for event in allowed if event.kind in ONWARD[way]]
        if onward:
            naive.take(onward[pick % len(onward)])
            state = evolve(state, onward[pick % len(onward)], START, OPERATOR.id)
    assert state.phase.ended == (naive.doing == "ended")


def test_every_event_has_its_row() -> None:
    """The table names every kind but the opening, which is the first line and nothing else."""
    assert set(TABLE) == set(KINDS.values()) - {ev.BatchOpened}
    told = {event.kind for event in [*EVENTS, *about_deviations(1), *about_entries(9)]}
    # The slate's route has nothing against it: test_overrides.py has what bars one.
    assert told == set(KINDS) - {ev.FindingOverridden.kind}


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
