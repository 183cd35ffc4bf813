"""What somebody at the line wants to do or to have noted: intents, in the imperative.

Owns the shapes alone; `decide` turns them into events or refuses them.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.batch.events import Disposition, Person, Where
from runner.batch.moment import Moment


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who acts, when, and whether their key is unlocked to sign for it.

    Attributes:
        by: The person; for a fact taken while no key is unlocked, who has the batch in hand.
        fresh: Whether the PIN was asked for this very act, as hold points demand.
    """

    moment: Moment
    by: Person
    unlocked: bool = True
    fresh: bool = False


@dataclass(frozen=True, slots=True)
class Override:
    """Walk the route against a rule, for a reason."""

    number: int
    reason: str


@dataclass(frozen=True, slots=True)
class Take:
    """Take the batch in hand, with the key just unlocked."""


@dataclass(frozen=True, slots=True)
class Confirm:
    """Confirm all cautions of a step to come, each of them read."""

    step: int


@dataclass(frozen=True, slots=True)
class Enter:
    """The rack goes in, or hand work begins."""


@dataclass(frozen=True, slots=True)
class AnswerValue:
    """Answer a check with the value seen, in the check's unit.

    Attributes:
        in_tank_dm2: For the ammeter: energised area of all racks in the tank, where others are in it.
    """

    step: int
    check: int
    value: float
    in_tank_dm2: float | None = None


@dataclass(frozen=True, slots=True)
class AnswerChoice:
    """Answer a check with the state seen."""

    step: int
    check: int
    choice: str


@dataclass(frozen=True, slots=True)
class ReadCurrent:
    """Note what the tank's ammeter shows."""

    amps: float
    in_tank_dm2: float | None = None


@dataclass(frozen=True, slots=True)
class ReadCharge:
    """Note what the tank's ampere-hour counter shows since this rack went in."""

    ah: float
    in_tank_dm2: float | None = None


@dataclass(frozen=True, slots=True)
class Correct:
    """Put a wrong entry right.

    Attributes:
        line: Number of the journal's line that made it.
    """

    line: int
    reason: str
    value: float | None = None
    choice: str | None = None


@dataclass(frozen=True, slots=True)
class Interrupt:
    """Stop the step's timer, saying where the rack is."""

    where: Where


@dataclass(frozen=True, slots=True)
class Resume:
    """Go on with the interrupted step."""


@dataclass(frozen=True, slots=True)
class Acknowledge:
    """Acknowledge that the time is up."""


@dataclass(frozen=True, slots=True)
class Leave:
    """The rack is lifted out, or hand work is done: a fact, whatever the timer says."""


@dataclass(frozen=True, slots=True)
class Sign:
    """Sign the step's hold point."""


@dataclass(frozen=True, slots=True)
class Redo:
    """Go back to an earlier step and walk on from there."""

    step: int
    reason: str


@dataclass(frozen=True, slots=True)
class WriteNote:
    """Write a remark."""

    text: str


@dataclass(frozen=True, slots=True)
class Report:
    """Raise a deviation by hand: something is wrong that no figure shows."""

    detail: str


@dataclass(frozen=True, slots=True)
class Explain:
    """Give a deviation its reason."""

    number: int
    reason: str


@dataclass(frozen=True, slots=True)
class Settle:
    """Decide what becomes of the parts after a deviation."""

    number: int
    disposition: Disposition


@dataclass(frozen=True, slots=True)
class Release:
    """Release the batch: this many pieces are good."""

    pieces: int


@dataclass(frozen=True, slots=True)
class Abandon:
    """End the batch without a release."""

    reason: str


Intent = (
    Override
    | Take
    | Confirm
    | Enter
    | AnswerValue
    | AnswerChoice
    | ReadCurrent
    | ReadCharge
    | Correct
    | Interrupt
    | Resume
    | Acknowledge
    | Leave
    | Sign
    | Redo
    | WriteNote
    | Report
    | Explain
    | Settle
    | Release
    | Abandon
)
