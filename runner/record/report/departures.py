"""What departed from the trade's rules or from the plan, set apart, with what became of each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from runner.batch.state import BARRING, BatchState, Deviation
from runner.record.report.figures import NONE, Figures, when
from runner.record.report.mended import mended


@dataclass(frozen=True, slots=True)
class FindingView:
    """What the rules had against the route, and who took it on themselves."""

    number: int
    step: str
    severity: str
    rule: str
    message: str
    taken: str
    open: bool

    @property
    def against(self) -> str:
        """The step and what is wrong there; most messages name their step themselves."""
        return self.message if self.message.startswith(f"{self.step} ") else f"{self.step}: {self.message}"


@dataclass(frozen=True, slots=True)
class DeviationView:
    """A deviation and what became of it.

    Attributes:
        mended: What the entry that raised it was corrected to, in a sentence, or empty.
    """

    number: int
    step: str
    what: str
    detail: str
    raised: str
    reason: str
    disposition: str
    settled: str
    open: bool
    mended: str


def findings(state: BatchState) -> Iterator[FindingView]:
    """Every finding on line 1, those that nobody had to override too."""
    taken = {one.number: one for one in state.overridden}
    for number, one in enumerate(state.opened.findings, start=1):
        said = "noted" if one.severity not in BARRING else "NOT OVERRIDDEN"
        if by := taken.get(number):
            said = f"overridden by {by.by.name}, {by.by.role}, {when(by.moment)}: {by.reason}"
        step = "the route" if one.step is None else f"step {one.step}"
        bars = one.severity in BARRING and number not in taken
        yield FindingView(number, step, one.severity, one.rule, one.message, said, bars)


def deviations(state: BatchState, figures: Figures, called: Mapping[str, str]) -> Iterator[DeviationView]:
    """Every deviation, in the order in which they were raised."""
    for one in state.deviations:
        yield _deviation(state, one, figures, called)


def _deviation(
    state: BatchState, one: Deviation, figures: Figures, called: Mapping[str, str]
) -> DeviationView:
    steps = state.opened.plan.steps
    named = f"{one.step} {steps[one.step - 1].name}" if 1 <= one.step <= len(steps) else str(one.step)
    settled = NONE
    if one.settled_by and one.settled:
        settled = f"{one.settled_by.name}, {one.settled_by.role}, {when(one.settled)}"
    return DeviationView(
        number=one.number,
        step=named,
        what=one.what,
        detail=one.detail,
        raised=f"{when(one.raised)}, {called.get(one.who, one.who)}",
        reason=one.reason or "NO REASON GIVEN",
        disposition=one.disposition or "NOT SETTLED",
        settled=settled,
        open=one.disposition is None,
        mended=mended(state, one, figures),
    )
