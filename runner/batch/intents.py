"""What somebody at the line wants to do or to have noted: intents, in the imperative.

Owns the shapes alone; `decide` turns them into events or refuses them.
"""

from __future__ import annotations

from runner.batch.moment import Moment
from runner.batch.terms import Disposition, Person, Where
from runner.plain_data import Plain


class Stamp(Plain, frozen=True):
    """Who acts, when, and whether their key is unlocked to sign for it.

    Attributes:
        by: The person; for a fact taken while no key is unlocked, who has the batch in hand.
        fresh: Whether the PIN was asked for this very act, as hold points demand.
    """

    moment: Moment
    by: Person
    unlocked: bool = True
    fresh: bool = False


class Override(Plain, frozen=True):
    """Walk the route against a rule, for a reason."""

    number: int
    reason: str


class Take(Plain, frozen=True):
    """Take the batch in hand, with the key just unlocked.

    Attributes:
        supervised: Whether a chargehand signs at every hold point from here on.
    """

    supervised: bool = False


class Confirm(Plain, frozen=True):
    """Confirm all cautions of a step to come, each of them read."""

    step: int


class Enter(Plain, frozen=True):
    """The rack goes in, or hand work begins."""


class AnswerValue(Plain, frozen=True):
    """Answer a check with the value seen, in the check's unit.

    Attributes:
        in_tank_dm2: For the ammeter: energised area of all racks in the tank, where others are in it.
    """

    step: int
    check: int
    value: float
    in_tank_dm2: float | None = None


class AnswerChoice(Plain, frozen=True):
    """Answer a check with the state seen."""

    step: int
    check: int
    choice: str


class ReadCurrent(Plain, frozen=True):
    """Note what the tank's ammeter shows."""

    amps: float
    in_tank_dm2: float | None = None


class ReadCharge(Plain, frozen=True):
    """Note what the tank's ampere-hour counter shows since this rack went in."""

    ah: float
    in_tank_dm2: float | None = None


class Correct(Plain, frozen=True):
    """Put a wrong entry right.

    Attributes:
        line: Number of the journal's line that made it.
    """

    line: int
    reason: str
    value: float | None = None
    choice: str | None = None


class Interrupt(Plain, frozen=True):
    """Stop the step's timer, saying where the rack is."""

    where: Where


class Resume(Plain, frozen=True):
    """Go on with the interrupted step."""


class Acknowledge(Plain, frozen=True):
    """Acknowledge an alarm of this rack: the one named, or else the worst that stands."""

    alarm: str | None = None


class Shelve(Plain, frozen=True):
    """Put an alarm off for a while; it comes back then, or as the worse alarm that it becomes."""

    alarm: str
    for_s: float


class Leave(Plain, frozen=True):
    """The rack is lifted out, or hand work is done: a fact, whatever the timer says."""


class Sign(Plain, frozen=True):
    """Sign the step's hold point."""


class Redo(Plain, frozen=True):
    """Go back to an earlier step and walk on from there."""

    step: int
    reason: str


class WriteNote(Plain, frozen=True):
    """Write a remark."""

    text: str


class Report(Plain, frozen=True):
    """Raise a deviation by hand: something is wrong that no figure shows."""

    detail: str


class Explain(Plain, frozen=True):
    """Give a deviation its reason."""

    number: int
    reason: str


class Settle(Plain, frozen=True):
    """Decide what becomes of the parts after a deviation."""

    number: int
    disposition: Disposition


class Release(Plain, frozen=True):
    """Release the batch: this many pieces are good."""

    pieces: int


class Abandon(Plain, frozen=True):
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
    | Shelve
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
