"""Rules about what holds on what.

What the metal on top is, whether it is active, and whether the deposit holds on it at all: the table stands
in `runner.plating.adhesion`.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.adhesion import bond
from runner.plating.effects_table import effect
from runner.plating.families import COVERS, UNKNOWN
from runner.plating.severity import Severity
from runner.plating.sources import Known, Source
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.surface import Activity, Stage

GUARDS = "order and adhesion"

_PRACTICE = Source("what platers hold of adhesion", Known.PRACTICE)
_PASSIVE = Source("Metal Finishing Guidebook 2013, p. 156, on aged nickel; the rest", Known.PRACTICE)


def _plating(case: Case) -> Iterator[Stage]:
    return (stage for stage in case.history if stage.deposits)


@rule(
    "does-not-hold",
    GUARDS,
    Severity.SPOIL,
    "A deposit goes only onto a metal that it holds on, from a bath that leaves that metal whole.",
    _PRACTICE,
)
def does_not_hold(case: Case) -> Iterator[Found]:
    """The table of bonds."""
    for stage in _plating(case):
        assert stage.solution is not None and stage.step.deposit is not None
        top, metal = stage.before.top, stage.step.deposit.metal
        row = bond(stage.solution.name, top)
        if row is not None and row.severity is not None:
            yield Found(
                stage,
                f"{metal} from {stage.solution.name} goes onto {top}",
                f"{row.why[0].upper()}{row.why[1:]}.",
                "Put the layer between that both hold on (a strike, copper or nickel), or take the "
                "old plate off.",
                row.severity,
                row.source,
            )


@rule(
    "plated-over-a-cover",
    GUARDS,
    Severity.SPOIL,
    "Paint, rust, scale and films come off before anything is plated.",
    _PRACTICE,
)
def plated_over_a_cover(case: Case) -> Iterator[Found]:
    """A cover on top, or beneath something that was plated over it."""
    for stage in _plating(case):
        if stage.before.top in COVERS:
            yield Found(
                stage,
                f"{stage.before.top} is still on the part",
                "No deposit holds on it, and what is under it goes on corroding.",
                "Strip, pickle or blast it off first, in a step that names it.",
            )


@rule(
    "bond-not-known",
    GUARDS,
    Severity.DOUBT,
    "What nobody has said of two metals is asked of the chargehand, not guessed.",
    _PRACTICE,
)
def bond_not_known(case: Case) -> Iterator[Found]:
    """A pair that the table of bonds does not name, an unknown surface or an unknown solution."""
    for stage in case.history:
        top = stage.before.top
        if stage.solution is not None and effect(stage.solution.name) is None:
            yield Found(
                stage,
                f"what {stage.solution.name} does to {top} is not known here",
                "The rules cannot follow the part through it.",
                "Ask the chargehand.",
            )
        elif stage.deposits and top not in COVERS:
            assert stage.solution is not None
            if top == UNKNOWN or bond(stage.solution.name, top) is None:
                yield Found(
                    stage,
                    f"whether {stage.solution.name} holds on {top} is not known here",
                    "No table of the trade that was read names this pair.",
                    "Ask the chargehand, and plate a coupon first.",
                )


@rule(
    "plated-on-passive-metal",
    GUARDS,
    Severity.SPOIL,
    "The metal on top is active when the next one goes on.",
    _PASSIVE,
)
def plated_on_passive_metal(case: Case) -> Iterator[Found]:
    """Passive: peels. Under an alkaline film, or where the bath bites by itself: may peel."""
    for stage in _plating(case):
        assert stage.solution is not None
        surface = stage.before
        row = bond(stage.solution.name, surface.top)
        if row is None or row.fresh == "no" or row.severity is Severity.SPOIL:
            continue
        if surface.activity is Activity.ACTIVE:
            continue
        passive = surface.activity is Activity.PASSIVE
        yield Found(
            stage,
            f"{surface.top} is {surface.activity} here: {surface.activity_why}",
            "A deposit on a film of oxide peels, at once or in the customer's hands."
            if passive
            else "An alkaline film under an acid bath leaves patches that lift.",
            f"Activate the {surface.top} in the dip made for it, directly before this step, and keep it wet.",
            Severity.SPOIL if passive and row.fresh == "must" else Severity.DOUBT,
        )


RULES: tuple[Rule, ...] = (does_not_hold, plated_over_a_cover, plated_on_passive_metal, bond_not_known)
