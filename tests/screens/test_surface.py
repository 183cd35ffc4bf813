"""What PART says of the surface: as planned, but for what went otherwise."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from runner.batch import intents as do
from runner.batch.terms import Disposition
from runner.screens.why_words import why_words
from runner.screens.words import walk
from support.batches import STEPS, Walker

STEPS_TOLD = tuple(
    replace(step, surface=surface, next_within_s=None)
    for step, surface in zip(
        STEPS, ("active steel", "nickel 23 µm on steel", "chromium on nickel", None), strict=True
    )
)


def part(walker: Walker) -> str:
    """What stands behind PART."""
    return walk(walker.state, walker.now).surface


def in_nickel() -> Walker:
    """A rack in the nickel, its dip told."""
    walker = Walker(steps=STEPS_TOLD)
    return walker.to_nickel()


def test_a_deposit_by_the_plan_is_told_as_planned() -> None:
    """Nothing departed from the plan, so the plan tells what the part is."""
    walker = in_nickel().wait(1800)
    assert part(walker) == "as planned: active steel"
    walker.do(do.AnswerValue(2, 0, 40.0))
    walker.do(do.Leave())
    assert part(walker) == "as planned: nickel 23 µm on steel"


def test_a_nickel_lifted_early_is_told_with_its_deviation() -> None:
    """Lifted 17 min too soon it is not the nickel of the plan: the walk and its page of reasons say so."""
    walker = in_nickel().wait(1800 - 17 * 60)
    walker.do(do.AnswerValue(2, 0, 40.0))
    walker.do(do.Leave())
    assert part(walker) == "as planned but for deviation 1, lifted early: nickel 23 µm on steel"
    assert f"THE SURFACE NOW  {part(walker)}" in why_words(walker.state)
    walker.do(do.Enter())
    walker.wait(3600).do(do.Leave())
    assert part(walker) == "as planned but for deviations 1 and 2: chromium on nickel"


def test_what_says_nothing_of_the_surface_is_not_told_with_it() -> None:
    """A meter that nobody read, a dip reported by hand: neither is a deposit other than planned."""
    walker = Walker(steps=STEPS_TOLD)
    walker.do(do.Enter())
    walker.do(do.Report("the hook squeaks"))
    walker.wait(30).do(do.Leave())
    walker.do(do.Enter())
    walker.wait(1800).do(do.Leave())
    assert len(walker.state.deviations) > 1
    assert part(walker) == "as planned: nickel 23 µm on steel"


@pytest.mark.parametrize(("became", "told"), [("accepted as it is", True), ("reworked", False)])
def test_a_deviation_that_was_reworked_is_told_no_more(became: Disposition, *, told: bool) -> None:
    """Accepted, the deposit is still not that of the plan."""
    walker = in_nickel().wait(600)
    walker.do(do.AnswerValue(2, 0, 40.0))
    walker.do(do.Leave())
    walker.do(do.Explain(1, "the hoist slipped"))
    walker.do(do.Settle(1, became))
    assert ("deviation 1" in part(walker)) is told
