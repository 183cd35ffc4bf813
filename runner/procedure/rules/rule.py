"""What is a rule, what does it look at, and what does it find?

Owns the shape of a rule, of its case and of its findings. A rule is a small pure function over a case: it
asks the surface, never what a step is called, and it never crashes on a route that is odd. Must not hold a
rule.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from runner.plating.bake import NO_BAKE_BELOW_MPA
from runner.plating.families import IRONS
from runner.plating.severity import Severity
from runner.plating.sources import Source
from runner.procedure.model import Procedure
from runner.procedure.rules.shared_use import SharedUse
from runner.procedure.surface import History, Stage
from runner.procedure.surface_rinse import dragged_l_h
from runner.shop.model import Shop
from runner.text import shown


@dataclass(frozen=True, slots=True)
class BatchFacts:
    """What is known of the load to be walked; a rule that needs a missing one keeps still.

    Attributes:
        piece_dm2: Plated area of one piece.
        pieces: How many hang at once.
        tips_dm2: Bare metal of the rack's tips.
        thieves_dm2: Area of thieves.
        hollow: Whether a part has a closed hollow; None where nobody has said.
        blind: Whether it has blind holes, cups, folds or lapped seams; None where nobody has said.
    """

    piece_dm2: float | None = None
    pieces: int | None = None
    tips_dm2: float = 0.0
    thieves_dm2: float = 0.0
    hollow: bool | None = None
    blind: bool | None = None

    @property
    def parts_dm2(self) -> float | None:
        """Area of all pieces."""
        return None if self.piece_dm2 is None or self.pieces is None else self.piece_dm2 * self.pieces

    @property
    def energised_dm2(self) -> float | None:
        """All that takes current."""
        return None if self.parts_dm2 is None else self.parts_dm2 + self.tips_dm2 + self.thieves_dm2

    @property
    def booked(self) -> bool:
        """Whether these are parts that somebody has before them, of whom the rest can be asked."""
        return self.piece_dm2 is not None

    @property
    def carried_l_h(self) -> float:
        """Litres an hour that such loads carry over from tank to tank."""
        return dragged_l_h(self.energised_dm2, cups=bool(self.blind))


@dataclass(frozen=True, slots=True)
class Case:
    """What a rule looks at: one route, followed for one metal.

    Attributes:
        procedure: The route.
        shop: Whose tanks it names.
        facts: Of the batch.
        strength_mpa: Tensile strength, from the option, the booking or the file; None where not known.
        basis: The metal that the history is of.
        history: The surface before and after each step.
        shared: What each tank takes over all procedures of the shop.
    """

    procedure: Procedure
    shop: Shop
    facts: BatchFacts
    strength_mpa: float | None
    basis: str
    history: History
    shared: SharedUse = field(repr=False)

    @property
    def strong_mpa(self) -> float | None:
        """The strength of steel that hydrogen may break, or None where the rules have nothing to fear."""
        weak = self.strength_mpa is None or self.strength_mpa < NO_BAKE_BELOW_MPA.value
        return None if weak or self.basis not in IRONS else self.strength_mpa

    def after(self, stage: Stage) -> History:
        """The steps after one."""
        return self.history[stage.number :]

    def before(self, stage: Stage) -> History:
        """The steps before one."""
        return self.history[: stage.number - 1]

    def next(self, stage: Stage) -> Stage | None:
        """The step after one, or None at the end."""
        return self.history[stage.number] if stage.number < len(self.history) else None


@dataclass(frozen=True, slots=True)
class Found:
    """What a rule found, before it is told.

    Attributes:
        stage: Where; None where it is the route as a whole.
        what: The message without the step.
        why: In a sentence or two.
        remedy: What to do.
        severity: Where it is not the rule's own.
        source: Where it is not the rule's own.
    """

    stage: Stage | None
    what: str
    why: str
    remedy: str
    severity: Severity | None = None
    source: Source | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """A finding as people and scripts read it.

    Attributes:
        rule: Plain name of the rule.
        severity: How bad it is.
        step: Counted from 1, or None for the route as a whole.
        message: What is wrong, with the step's number and name.
        why: Why that is bad.
        remedy: What to do.
        source: Where it is known from.
        known: How it is known.
        overridable: Whether a chargehand may let a batch go on in spite of it.
    """

    rule: str
    severity: Severity
    step: int | None
    message: str
    why: str
    remedy: str
    source: str
    known: str
    overridable: bool

    @property
    def order(self) -> tuple[int, int, str]:
        """Worst first, then by step."""
        return self.severity.rank, self.step or 0, self.rule


Look = Callable[[Case], Iterator[Found]]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of the catalogue.

    Attributes:
        name: Plain name in lower case with hyphens.
        guards: What the file that it stands in guards.
        severity: The worst that it finds.
        says: The rule in one sentence.
        source: Where it is known from, unless a finding says otherwise.
        look: The function that finds.
        overridable: Whether a chargehand may let a batch go on in spite of it.
    """

    name: str
    guards: str
    severity: Severity
    says: str
    source: Source
    look: Look = field(repr=False)
    overridable: bool = True

    def findings(self, case: Case, *, several: bool = False) -> Iterator[Finding]:
        """What it finds in a case.

        Args:
            case: The route for one metal.
            several: Whether the route is for several metals, so that a message must name this one.
        """
        for found in self.look(case):
            source = found.source or self.source
            place = ""
            if found.stage is not None:
                place = f"step {found.stage.number} ({shown(found.stage.step.name, 80)}): "
            on = f" (on {case.basis})" if several else ""
            yield Finding(
                rule=self.name,
                severity=found.severity or self.severity,
                step=found.stage.number if found.stage is not None else None,
                message=f"{place}{found.what}{on}",
                why=found.why,
                remedy=found.remedy,
                source=source.text,
                known=str(source.known),
                overridable=self.overridable,
            )


def rule(
    name: str,
    guards: str,
    severity: Severity,
    says: str,
    source: Source,
    *,
    overridable: bool = True,
) -> Callable[[Look], Rule]:
    """Make a rule of the function below it."""

    def make(look: Look) -> Rule:
        return Rule(name, guards, severity, says, source, look, overridable)

    return make
