"""Where a batch stands: what its events have come to so far.

Owns the shapes; `evolve` fills them. Every figure that can be computed from these is computed when it is
asked for (`timer`, `clocks`, `questions`), so nothing here can disagree with the journal.
"""

from __future__ import annotations

from enum import StrEnum

from runner.batch.events import BatchOpened
from runner.batch.moment import Moment
from runner.batch.terms import Disposition, Person, Where
from runner.plain_data import Plain
from runner.procedure.sheet import PlannedStep, Signer

BARRING = frozenset({"danger", "spoil"})
"""Severities of findings that bar a route until they are overridden."""


class Phase(StrEnum):
    """What a batch is doing now."""

    WAITING = "waiting for its first step"
    IN_STEP = "in a step"
    PAUSED = "paused"
    BETWEEN = "between steps"
    WALKED = "walked, to be released"
    RELEASED = "released"
    ABANDONED = "abandoned"

    @property
    def ended(self) -> bool:
        """Whether nothing can follow."""
        return self is Phase.RELEASED or self is Phase.ABANDONED


class Correction(Plain, frozen=True):
    """What stood in an entry before it was put right, and why, when and by whom it was."""

    was: str
    reason: str
    moment: Moment
    who: str


class Reading(Plain, frozen=True):
    """A meter reading: amps of the tank, or ampere-hours counted since this rack went in.

    Attributes:
        line: Of the journal, that made it.
        was: What stood in it before, the first entry first.
    """

    moment: Moment
    in_tank_dm2: float | None
    amps: float | None = None
    ah: float | None = None
    line: int = 0
    was: tuple[Correction, ...] = ()


class Answer(Plain, frozen=True):
    """What was seen for one check.

    Attributes:
        line: Of the journal, that gave it.
        was: What stood in it before, the first entry first.
    """

    check: int
    moment: Moment
    who: str
    value: float | None = None
    choice: str | None = None
    line: int = 0
    was: tuple[Correction, ...] = ()


class Pause(Plain, frozen=True):
    """An interruption; it lasts until `ended`."""

    where: Where
    began: Moment
    ended: Moment | None = None


class Quieted(Plain, frozen=True):
    """An alarm that a hand acknowledged, or put off.

    Attributes:
        for_s: How long it is put off; None where it was acknowledged.
    """

    alarm: str
    who: str
    moment: Moment
    for_s: float | None = None


class Signature(Plain, frozen=True):
    """A hold point signed."""

    meaning: Signer
    by: Person
    moment: Moment


class StepRun(Plain, frozen=True):
    """One time through one step.

    Attributes:
        attempt: 1, and more where the step was redone.
        confirmed: When its cautions were confirmed, before entry.
        out_s: How long the rack had been out of a tank when it entered; None where no clock ran.
        off_s: How long current had been off when it entered; None where no clock ran.
    """

    step: int
    attempt: int
    entered: Moment
    who: str
    confirmed: Moment | None = None
    out_s: float | None = None
    off_s: float | None = None
    readings: tuple[Reading, ...] = ()
    answers: tuple[Answer, ...] = ()
    pauses: tuple[Pause, ...] = ()
    acknowledged: Moment | None = None
    left: Moment | None = None
    signatures: tuple[Signature, ...] = ()
    quieted: tuple[Quieted, ...] = ()


class Deviation(Plain, frozen=True):
    """A departure from the plan and what became of it."""

    number: int
    step: int
    what: str
    detail: str
    raised: Moment
    who: str
    reason: str | None = None
    disposition: Disposition | None = None
    settled_by: Person | None = None
    settled: Moment | None = None


class Owed(Plain, frozen=True):
    """A departure that the last fact showed, and whose deviation must be the very next line."""

    step: int
    what: str
    detail: str


class Overridden(Plain, frozen=True):
    """A finding against the route that somebody took on themselves."""

    number: int
    reason: str
    by: Person
    moment: Moment


class Note(Plain, frozen=True):
    """A remark, with the step it was made in."""

    step: int
    text: str
    moment: Moment
    who: str


class BatchState(Plain, frozen=True):
    """A batch as its journal tells it.

    Attributes:
        next_step: Number of the step to be entered next; beyond the last one when all are walked.
        early_answers: Answers to checks asked before entry, kept until the step is entered.
        confirmed: Step number and moment of cautions confirmed ahead of entry.
        taken_by: Who has it in hand.
        last: Moment of the last event.
        lines: How many lines the journal has so far.
        owed: Deviations still to be raised for the last fact: nothing else may come before them.
        clock_steps_s: Steps of the wall clock seen on the way.
        tails: Torn tails set aside.
        supervised: Whether a chargehand signs at every hold point: somebody who was not signed off for the
            route opened the batch, or had it in hand since.
    """

    opened: BatchOpened
    opened_at: Moment
    phase: Phase
    next_step: int
    taken_by: Person
    last: Moment
    lines: int = 1
    runs: tuple[StepRun, ...] = ()
    early_answers: tuple[tuple[int, Answer], ...] = ()
    confirmed: tuple[tuple[int, Moment], ...] = ()
    overridden: tuple[Overridden, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    owed: tuple[Owed, ...] = ()
    notes: tuple[Note, ...] = ()
    clock_steps_s: tuple[float, ...] = ()
    tails: int = 0
    released_pieces: int | None = None
    ended_by: Person | None = None
    abandoned_because: str | None = None
    supervised: bool = False

    def signer(self, step: PlannedStep) -> Signer | None:
        """Who signs at a step's hold point, or None where it has none."""
        return "chargehand" if step.sign and self.supervised else step.sign

    @property
    def run(self) -> StepRun | None:
        """The latest time through a step, in it or just out of it."""
        return self.runs[-1] if self.runs else None

    @property
    def step(self) -> PlannedStep | None:
        """The planned step of the latest run."""
        return self.opened.plan.step(self.runs[-1].step) if self.runs else None

    @property
    def upcoming(self) -> PlannedStep | None:
        """The planned step to be entered next, or None after the last."""
        steps = self.opened.plan.steps
        return steps[self.next_step - 1] if self.next_step <= len(steps) else None

    @property
    def barred_by(self) -> int | None:
        """Number of the first finding that stands in the way of the first step, or None."""
        if not self.opened.findings:
            return None
        taken = {one.number for one in self.overridden}
        for number, finding in enumerate(self.opened.findings, start=1):
            if finding.severity in BARRING and number not in taken:
                return number
        return None

    @property
    def inside(self) -> bool:
        """Whether a step is under way, paused or not."""
        return self.phase is Phase.IN_STEP or self.phase is Phase.PAUSED
