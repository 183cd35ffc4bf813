"""Racks of the small test batch, brought to where something can go wrong with them."""

from __future__ import annotations

from msgspec.structs import replace

from runner.batch import intents as do
from support.batches import STEPS, Walker


def nickel(seconds: float = 0.0) -> Walker:
    """A rack in the nickel tank with its ammeter read, so long after entry."""
    walker = Walker().to_nickel()
    walker.do(do.AnswerValue(2, 0, 40.0))
    return walker.wait(seconds)


def dip(seconds: float = 0.0) -> Walker:
    """A rack in the acid dip, the nickel's questions answered, so long after entry."""
    walker = Walker()
    walker.do(do.Enter())
    walker.do(do.AnswerValue(2, 1, 4.0))
    walker.do(do.Confirm(2))
    return walker.wait(seconds)


def dipped(seconds: float = 0.0) -> Walker:
    """The same rack lifted out in time, so long after the lift."""
    walker = dip(30)
    walker.do(do.Leave())
    return walker.wait(seconds)


def plated(seconds: float) -> Walker:
    """A rack lifted from the nickel, with no limit on the way to the chromium but that of the current."""
    walker = Walker(steps=(STEPS[0], replace(STEPS[1], next_within_s=None), *STEPS[2:])).to_nickel()
    walker.do(do.AnswerValue(2, 0, 40.0))
    walker.wait(1800).do(do.Leave())
    return walker.wait(seconds)


def without(*, answer: bool = False, caution: bool = False) -> Walker:
    """A rack on its way to the nickel, of which one thing was not done beforehand."""
    walker = Walker()
    walker.do(do.Enter())
    if not answer:
        walker.do(do.AnswerValue(2, 1, 4.0))
    if not caution:
        walker.do(do.Confirm(2))
    walker.wait(30).do(do.Leave())
    return walker.wait(10)


def unread() -> Walker:
    """A rack through with the nickel, whose ammeter nobody read."""
    return Walker().to_nickel().wait(1800)


def counted(ah: float, gap_s: float) -> Walker:
    """A rack in the nickel with one count at 10 min, and a gap after it."""
    walker = nickel(600)
    walker.do(do.ReadCharge(ah))
    return walker.wait(gap_s)
