"""A route that a rule bars: nobody enters it until somebody who may has taken it on themselves."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from runner.batch import events as ev
from runner.batch import intents as do
from runner.batch.decide import Refused
from runner.batch.evolve import opened
from runner.batch.terms import Standing
from runner.batch.transitions import objection
from runner.plain_data import from_data
from support.batches import CHARGEHAND, OPERATOR, START, Walker, opening

RUIN = Standing("chromium-on-passive-nickel", "spoil", 3, "step 3 Chromium: the nickel is passive")
FATAL = Standing("hollow-part-heated", "danger", 1, "step 1 Soak: a closed hollow part", overridable=False)
DOUBT = Standing("no-transfer-limit", "doubt", 2, "step 2 Bright nickel: no limit on the way out")


def barred(*findings: Standing) -> Walker:
    """A batch that was opened with findings against its route."""
    walker = Walker(by=OPERATOR)
    walker.state = opened(replace(opening(by=OPERATOR), findings=findings), START)
    return walker


def test_a_doubt_bars_nothing() -> None:
    """It stands on line 1 for whoever reads it, and the walk begins."""
    assert barred(DOUBT).do(do.Enter()) == ["step-entered"]


def test_ruin_bars_the_first_step_until_it_is_overridden() -> None:
    """The walk asks for nothing else first; then it goes on as ever."""
    walker = barred(DOUBT, RUIN)
    assert walker.action() == "override"
    with pytest.raises(Refused, match="bars the route"):
        walker.do(do.Enter())
    walker.do(do.Override(2, "the customer knows, the part is a trial piece"), CHARGEHAND)
    assert walker.action() != "override"
    assert walker.do(do.Enter()) == ["step-entered"]
    assert walker.state.overridden[0].by == CHARGEHAND


@pytest.mark.parametrize(
    ("number", "reason", "fresh"), [(0, "x", True), (3, "x", True), (1, " ", True), (1, "x", False)]
)
def test_an_override_has_its_finding_its_reason_and_its_pin(number: int, reason: str, fresh: bool) -> None:  # noqa: FBT001  # a table's column
    """No such finding, no reason, no fresh PIN: refused."""
    with pytest.raises(Refused):
        barred(RUIN).do(do.Override(number, reason), CHARGEHAND, fresh=fresh)


def test_what_nobody_may_override_stays_barred_for_the_chargehand_too() -> None:
    """Reason and PIN change nothing, in an intent or in a line made by hand: the batch is abandoned."""
    walker = barred(FATAL)
    with pytest.raises(Refused, match="the route must change"):
        walker.do(do.Override(1, "it has always been done so"), CHARGEHAND)
    forged = ev.FindingOverridden(1, "it has always been done so", CHARGEHAND)
    assert objection(walker.state, forged) is not None
    with pytest.raises(Refused, match="bars the route"):
        walker.do(do.Enter())
    walker.do(do.Abandon("the part has no vent"), OPERATOR, fresh=True)


def test_a_finding_written_before_they_were_told_apart_reads_as_one_that_may_be_overridden() -> None:
    """A journal of an earlier release names four fields."""
    old = {"rule": "a", "severity": "spoil", "step": 1, "message": "b"}
    assert from_data(Standing, old) == Standing("a", "spoil", 1, "b", overridable=True)


def test_an_operator_overrides_nothing() -> None:
    """Refused when asked, and objected to in a line made by hand."""
    walker = barred(RUIN)
    with pytest.raises(Refused, match="may not"):
        walker.do(do.Override(1, "it will be fine"), OPERATOR)
    forged = ev.FindingOverridden(1, "it will be fine", OPERATOR)
    assert objection(walker.state, forged) is not None


def test_a_finding_is_overridden_once_and_only_before_the_walk() -> None:
    """A second signature on the same finding, or one after the first step, says nothing."""
    walker = barred(RUIN)
    walker.do(do.Override(1, "a trial piece"), CHARGEHAND)
    with pytest.raises(Refused):
        walker.do(do.Override(1, "a trial piece"), CHARGEHAND)
    walker.do(do.Enter())
    with pytest.raises(Refused):
        walker.do(do.Override(1, "a trial piece"), CHARGEHAND)
