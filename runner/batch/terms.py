"""What events are told with: where a rack is, how a step departed, who acted, what the rules had found.

Owns these words alone; they stand in journals and records for good. Must not know which event says which.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

from runner.plain_data import Plain

Mode = Literal["production", "practice"]
Disposition = Literal["accepted as it is", "reworked", "parts set aside"]


class Where(StrEnum):
    """Where the rack is while a step is paused."""

    IN_TANK = "in the tank, current off"
    LIFTED = "lifted"


class Departure(StrEnum):
    """How a step departed from its plan; the word stands in the record."""

    EARLY = "lifted early"
    LATE = "overstayed"
    TRANSFER = "out of the tank too long"
    CURRENT_OFF = "current off too long"
    OUTSIDE = "outside its window"
    NOT_ACCEPTED = "not as it should look"
    NOT_ANSWERED = "not answered"
    NOT_CONFIRMED = "entered without its cautions"
    INTERRUPTED = "interrupted"
    COUNT_FELL = "ampere-hour count fell"
    REDONE = "redone"


class Person(Plain, frozen=True):
    """Who acted, as the shop knew them then.

    Attributes:
        key: Fingerprint of their key.
    """

    id: str
    name: str
    role: str
    key: str


class Standing(Plain, frozen=True):
    """What the rules of the trade found against the route when the batch was opened.

    Attributes:
        severity: ``danger`` and ``spoil`` stand in the way until somebody who may has overridden them.
        step: Its number, or None where it is the route as a whole.
        overridable: Whether anybody may walk the route in spite of it.
    """

    rule: str
    severity: str
    step: int | None
    message: str
    overridable: bool = True
