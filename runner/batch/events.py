"""What can have happened to a batch: frozen events, in the past tense, each with its kind on the journal.

Owns the shapes alone. Which event may follow which stands in `transitions`; what it changes in `evolve`.
"""

from __future__ import annotations

from typing import ClassVar

from runner.batch.terms import Disposition, Mode, Person, Standing, Where
from runner.plain_data import Plain
from runner.procedure.sheet import Plan, Signer

FORMAT = 1
"""Of the journal; a record keeps the renderer that its journal was written for."""


class BatchOpened(Plain, frozen=True):
    """Line 1: everything needed to read the rest.

    Attributes:
        supervised: Whether a chargehand signs at every hold point, since who opened it was not signed off
            for the route; the shop's journal says so, up to its line that opened the batch.
    """

    kind: ClassVar[str] = "batch-opened"
    format: int
    shop: str
    batch: str
    mode: Mode
    nonce: str
    procedure_file: str
    procedure_text: str
    plan: Plan
    part: str
    customer: str
    by: Person
    findings: tuple[Standing, ...] = ()
    supervised: bool = False


class FindingOverridden(Plain, frozen=True):
    """The route is walked against a rule, for a reason, on the responsibility of who signed it.

    Attributes:
        number: Of the finding on line 1, counted from 1.
    """

    kind: ClassVar[str] = "finding-overridden"
    number: int
    reason: str
    by: Person


class BatchTaken(Plain, frozen=True):
    """A person unlocked their key and has the batch in hand from here on.

    Attributes:
        supervised: Whether they are not signed off for the route; the walk is supervised to its end then.
    """

    kind: ClassVar[str] = "batch-taken"
    by: Person
    supervised: bool = False


class CautionsConfirmed(Plain, frozen=True):
    """The cautions of a step were confirmed one by one, while the rack sat in the step before."""

    kind: ClassVar[str] = "cautions-confirmed"
    step: int
    cautions: tuple[str, ...]


class StepEntered(Plain, frozen=True):
    """The rack went in, or hand work began."""

    kind: ClassVar[str] = "step-entered"
    step: int


class ValueGiven(Plain, frozen=True):
    """A check was answered with the value seen, in the check's unit."""

    kind: ClassVar[str] = "value-given"
    step: int
    check: int
    value: float


class ChoiceGiven(Plain, frozen=True):
    """A check was answered with the state seen."""

    kind: ClassVar[str] = "choice-given"
    step: int
    check: int
    choice: str


class CurrentRead(Plain, frozen=True):
    """The tank's ammeter was read.

    Attributes:
        amps: What the meter showed, for everything in the tank.
        in_tank_dm2: Energised area of every rack in the tank then; None where this rack was alone.
    """

    kind: ClassVar[str] = "current-read"
    step: int
    amps: float
    in_tank_dm2: float | None = None


class ChargeRead(Plain, frozen=True):
    """The tank's ampere-hour counter was read, counted from this rack's entry."""

    kind: ClassVar[str] = "charge-read"
    step: int
    ah: float
    in_tank_dm2: float | None = None


class EntryCorrected(Plain, frozen=True):
    """A wrong entry was put right; the line that made it stays as it is.

    Attributes:
        line: Number of that line.
        value: The right figure, where a figure was entered.
        choice: The right state, where a state was chosen.
    """

    kind: ClassVar[str] = "entry-corrected"
    step: int
    line: int
    reason: str
    value: float | None = None
    choice: str | None = None


class TimerPaused(Plain, frozen=True):
    """The step was interrupted."""

    kind: ClassVar[str] = "timer-paused"
    step: int
    where: Where


class TimerResumed(Plain, frozen=True):
    """The rack is back in with its current on."""

    kind: ClassVar[str] = "timer-resumed"
    step: int


class AlarmAcknowledged(Plain, frozen=True):
    """A hand acknowledged an alarm.

    Attributes:
        alarm: Which; a journal of before there were others means that the time is up.
    """

    kind: ClassVar[str] = "alarm-acknowledged"
    step: int
    alarm: str = "time is up"


class AlarmShelved(Plain, frozen=True):
    """An alarm was put off for a while, by somebody who signed for it.

    Attributes:
        for_s: How long, from this line on.
    """

    kind: ClassVar[str] = "alarm-shelved"
    step: int
    alarm: str
    for_s: float
    by: Person


class StepLeft(Plain, frozen=True):
    """The rack was lifted out, or hand work was done."""

    kind: ClassVar[str] = "step-left"
    step: int


class StepSigned(Plain, frozen=True):
    """A hold point was signed with a fresh PIN."""

    kind: ClassVar[str] = "step-signed"
    step: int
    meaning: Signer
    by: Person


class StepRedone(Plain, frozen=True):
    """The batch went back to an earlier step; what follows is walked again."""

    kind: ClassVar[str] = "step-redone"
    step: int
    reason: str


class NoteWritten(Plain, frozen=True):
    """Somebody wrote something down."""

    kind: ClassVar[str] = "note-written"
    step: int
    text: str


class DeviationRaised(Plain, frozen=True):
    """A departure from the plan, raised with the fact that showed it, or by hand."""

    kind: ClassVar[str] = "deviation-raised"
    number: int
    step: int
    what: str
    detail: str


class DeviationExplained(Plain, frozen=True):
    """Why it came to that, asked at the next quiet dwell."""

    kind: ClassVar[str] = "deviation-explained"
    number: int
    reason: str


class DeviationSettled(Plain, frozen=True):
    """What becomes of the parts, decided and signed by who may."""

    kind: ClassVar[str] = "deviation-settled"
    number: int
    disposition: Disposition
    by: Person


class ClockStepped(Plain, frozen=True):
    """The wall clock moved against the uptime by more than two seconds; noted, not a failure."""

    kind: ClassVar[str] = "clock-stepped"
    by_s: float


class TailSetAside(Plain, frozen=True):
    """Torn bytes that a crash left at the journal's end, cut off and kept here."""

    kind: ClassVar[str] = "tail-set-aside"
    bytes: int
    sha256: str
    base64: str


class BatchReleased(Plain, frozen=True):
    """The parts are good to go; nothing follows."""

    kind: ClassVar[str] = "batch-released"
    pieces: int
    by: Person


class BatchAbandoned(Plain, frozen=True):
    """The batch ends here; nothing follows."""

    kind: ClassVar[str] = "batch-abandoned"
    reason: str
    by: Person


Event = (
    BatchOpened
    | FindingOverridden
    | BatchTaken
    | CautionsConfirmed
    | StepEntered
    | ValueGiven
    | ChoiceGiven
    | CurrentRead
    | ChargeRead
    | EntryCorrected
    | TimerPaused
    | TimerResumed
    | AlarmAcknowledged
    | AlarmShelved
    | StepLeft
    | StepSigned
    | StepRedone
    | NoteWritten
    | DeviationRaised
    | DeviationExplained
    | DeviationSettled
    | ClockStepped
    | TailSetAside
    | BatchReleased
    | BatchAbandoned
)
