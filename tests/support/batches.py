"""A small batch to walk in tests: a rinse, a nickel tank by charge, a chromium tank by the clock, a look.

Its figures are chosen to be reckoned by hand (10 dm² at 4 A/dm² is 40 A) and are nobody's process.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil

import pytest
from msgspec.structs import replace

from runner.batch import events as ev
from runner.batch import intents as do
from runner.batch.decide import Refused, decide
from runner.batch.evolve import evolve, opened
from runner.batch.intents import Intent
from runner.batch.moment import Moment
from runner.batch.questions import Action, current_progress, next_action
from runner.batch.state import BatchState
from runner.batch.terms import Person
from runner.batch.timer import Progress
from runner.procedure.sheet import Load, Plan, PlannedCheck, PlannedStep

START = Moment(at_ms=1_780_000_000_000, boot="boot-a", up_ms=5_000_000)
OWNER = Person("olive", "Olive Demo", "owner", "SHA256:owner")
OPERATOR = Person("otto", "Otto Demo", "operator", "SHA256:operator")
CHARGEHAND = Person("cleo", "Cleo Demo", "chargehand", "SHA256:chargehand")
TRAINEE = Person("tess", "Tess Demo", "trainee", "SHA256:trainee")
AUDITOR = Person("ada", "Ada Demo", "auditor", "SHA256:auditor")
PEOPLE = (OWNER, OPERATOR, CHARGEHAND, TRAINEE, AUDITOR)

NICKEL_UM_PER_AH_DM2 = 12.292

STEPS = (
    PlannedStep(
        1,
        "Acid dip",
        "activate",
        "clock",
        tank="dip",
        tank_title="Acid dip",
        dwell_s=30.0,
        dwell_max_s=60.0,
        next_within_s=45.0,
        checks=(PlannedCheck("Water break", "after", choices=("none", "broken"), accept=("none",)),),
    ),
    PlannedStep(
        2,
        "Bright nickel",
        "plate",
        "charge",
        tank="nickel",
        tank_title="Bright nickel",
        rectifier="R1",
        polarity="cathodic",
        metal="nickel",
        current_a=40.0,
        parts_current_a=40.0,
        parts_dm2=10.0,
        energised_dm2=10.0,
        current_density_a_dm2=4.0,
        density_low_a_dm2=2.0,
        density_high_a_dm2=6.0,
        dwell_s=1800.0,
        charge_ah=20.0,
        target_um=14.0,
        thickness_ratio=0.6,
        mean_thickness_um=NICKEL_UM_PER_AH_DM2 * 0.955 * 2,
        um_per_ah_dm2=NICKEL_UM_PER_AH_DM2,
        efficiency=((4.0, 0.955),),
        next_within_s=30.0,
        current_within_s=120.0,
        confirm=("Current on before the rack goes in",),
        checks=(
            PlannedCheck("Rectifier current", "during", unit="A", planned=40.0, reads="current"),
            PlannedCheck("pH", "before", unit="pH", planned=4.0, low=3.8, high=4.4),
        ),
    ),
    PlannedStep(
        3,
        "Chromium",
        "plate",
        "clock",
        tank="chromium",
        tank_title="Chromium",
        rectifier="R2",
        polarity="cathodic",
        metal="chromium",
        current_a=100.0,
        parts_current_a=100.0,
        parts_dm2=10.0,
        energised_dm2=10.0,
        current_density_a_dm2=10.0,
        density_low_a_dm2=8.0,
        density_high_a_dm2=16.0,
        dwell_s=240.0,
        charge_ah=6.67,
        um_per_ah_dm2=4.497,
        efficiency=((10.0, 0.15),),
        mean_thickness_um=0.45,
    ),
    PlannedStep(4, "Look", "inspect", "hand", sign="chargehand"),
)

LOOKED_AT = PlannedCheck(
    "Colour all over", "after", choices=("even, bright", "burnt edge"), accept=("even, bright",)
)
HELD_STEPS = (
    PlannedStep(1, "Rack", "rack", "hand", sign="operator", checks=(replace(LOOKED_AT, ask="Contacts"),)),
    replace(STEPS[1], number=2, checks=(*STEPS[1].checks, LOOKED_AT)),
    PlannedStep(3, "Rinse", "rinse", "clock", tank="rinse", dwell_s=20.0, next_within_s=30.0),
    replace(
        STEPS[2],
        number=4,
        sign="operator",
        confirm=("Extraction running",),
        checks=(PlannedCheck("Temperature", "before", unit="°C", planned=42.0, low=38.0, high=46.0),),
    ),
    replace(STEPS[3], number=5),
)
"""A route with hold points of both kinds, and with cautions that are asked two steps ahead."""


def plan(steps: tuple[PlannedStep, ...] = STEPS) -> Plan:
    """The plan of that batch, or of other steps."""
    return Plan(
        title="A test route",
        revision="A",
        procedure_sha256="0" * 64,
        units="SI",
        basis=("low-carbon steel",),
        finish=None,
        piece_dm2=2.5,
        pieces=4,
        tips_dm2=0.0,
        thieves_dm2=0.0,
        per_rack=None,
        loads=(Load(4, ()),),
        handling_s=5.0,
        overstay_share=0.1,
        steps=steps,
        total_s=2070.0,
    )


def opening(steps: tuple[PlannedStep, ...] = STEPS, by: Person = OWNER) -> ev.BatchOpened:
    """The first event of that batch."""
    return ev.BatchOpened(
        format=ev.FORMAT,
        shop="Test works (invented)",
        batch="2026-0001",
        mode="practice",
        nonce="00",
        procedure_file="route.toml",
        procedure_text='title = "A test route"\n',
        plan=plan(steps),
        part="stirrup irons",
        customer="C-1",
        by=by,
    )


def later(moment: Moment, seconds: float) -> Moment:
    """That many seconds later on the same boot."""
    ms = round(seconds * 1000)
    return moment._replace(at_ms=moment.at_ms + ms, up_ms=moment.up_ms + ms)


def wanted(state: BatchState, action: Action) -> Intent:
    """The intent that an action asks for; checks are answered as planned, or else in the middle."""
    number = action.deviation.number if action.deviation else 0
    plain: dict[str, Intent] = {
        "confirm": do.Confirm(action.step),
        "lift": do.Leave(),
        "enter": do.Enter(),
        "resume": do.Resume(),
        "sign": do.Sign(),
        "explain": do.Explain(number, "as it happened"),
        "settle": do.Settle(number, "accepted as it is"),
        "release": do.Release(state.opened.plan.loads[0].pieces),
    }
    if action.question is None:
        return plain[action.name]
    asked, where = action.question.asked, (action.question.step, action.question.check)
    if asked.choices:
        return do.AnswerChoice(*where, asked.accept[0])
    assert asked.planned is not None
    return do.AnswerValue(*where, asked.planned)


def _entitled(state: BatchState, action: Action) -> Person:
    """An operator's hold point is signed by who walked the step, all else by the owner."""
    if action.name == "sign" and state.run and state.step and state.step.sign == "operator":
        return next(person for person in PEOPLE if person.id == state.run.who)
    return OWNER


@dataclass
class Walker:
    """Walks a batch in memory: intents in, events kept with whose hand did them, time moved by hand."""

    now: Moment = START
    by: Person = OWNER
    steps: tuple[PlannedStep, ...] = STEPS
    events: list[tuple[ev.Event, Moment]] = field(default_factory=list)
    hands: list[str] = field(default_factory=list)
    state: BatchState = field(init=False)

    def __post_init__(self) -> None:
        first = opening(self.steps, self.by)
        self.events.append((first, self.now))
        self.hands.append(self.by.id)
        self.state = opened(first, self.now)

    def wait(self, seconds: float) -> Walker:
        """Let time pass."""
        self.now = later(self.now, seconds)
        return self

    def do(
        self, intent: Intent, by: Person | None = None, *, fresh: bool = True, unlocked: bool = True
    ) -> list[str]:
        """Carry an intent out; returns the kinds of the events it came to."""
        person = by or self.by
        happened = decide(self.state, intent, do.Stamp(self.now, person, unlocked=unlocked, fresh=fresh))
        for event in happened:
            self.events.append((event, self.now))
            self.hands.append(person.id)
            self.state = evolve(self.state, event, self.now, person.id)
        return [event.kind for event in happened]

    def refusal(
        self, intent: Intent, by: Person | None = None, *, fresh: bool = True, unlocked: bool = True
    ) -> str:
        """Why an intent is refused; fails where it is not, or where a refusal changes anything."""
        before = self.state
        with pytest.raises(Refused) as caught:
            self.do(intent, by, fresh=fresh, unlocked=unlocked)
        assert self.state is before
        assert caught.value.reason and caught.value.remedy
        return caught.value.reason

    def progress(self) -> Progress:
        """How far the step under way is."""
        done = current_progress(self.state, self.now)
        assert done is not None
        return done

    def follow(self) -> str:
        """Do what the walk asks for, in good order, by somebody who may; returns what it was."""
        action = next_action(self.state, self.now)
        if action.name == "wait":
            assert action.wait_s is not None
            self.wait(ceil(action.wait_s * 1000) / 1000)
        else:
            self.do(wanted(self.state, action), _entitled(self.state, action))
        return action.name

    def action(self) -> str:
        """What the walk asks for now."""
        return next_action(self.state, self.now).name

    def departures(self) -> list[str]:
        """What deviations there are so far."""
        return [deviation.what for deviation in self.state.deviations]

    def to_nickel(self) -> Walker:
        """Walk in good order until the rack hangs in the nickel tank."""
        self.do(do.Enter())
        self.do(do.AnswerValue(2, 1, 4.0))
        self.do(do.Confirm(2))
        self.wait(30).do(do.Leave())
        self.do(do.AnswerChoice(1, 0, "none"))
        self.wait(10).do(do.Enter())
        return self

    def to_end(self) -> Walker:
        """Walk the whole route in good order, up to the release."""
        self.to_nickel()
        self.do(do.AnswerValue(2, 0, 40.0))
        self.wait(1800).do(do.Leave())
        self.wait(20).do(do.Enter())
        self.wait(240).do(do.Leave())
        self.wait(20).do(do.Enter())
        self.do(do.Sign())
        self.do(do.Leave())
        return self
