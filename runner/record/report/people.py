"""Who stands for what in a batch: printed names, and every signature with its role, time and meaning.

The lines themselves tell: a signature without its line would be a claim, and is not printed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from runner.batch import events as ev
from runner.batch.kinds import read_event
from runner.batch.moment import Moment
from runner.batch.terms import Person
from runner.record.fold import Folded
from runner.record.report.figures import when


@dataclass(frozen=True, slots=True)
class Signed:
    """One signature.

    Attributes:
        line: Of the journal, that carries it.
    """

    name: str
    role: str
    id: str
    at: str
    meaning: str
    key: str
    line: int


def signatures(folded: Folded) -> tuple[Signed, ...]:
    """Every signature that means something by itself, in the order in which they were given."""
    return tuple(
        Signed(by.name, by.role, by.id, when(moment), meaning, by.key, line)
        for line, moment, by, meaning in _signed(folded)
    )


def names(folded: Folded) -> dict[str, str]:
    """Printed names by id, as the journal's own lines give them."""
    return {by.id: by.name for _, _, by, _ in _signed(folded)}


def _signed(folded: Folded) -> Iterator[tuple[int, Moment, Person, str]]:
    for line in folded.lines:
        if line.kind not in _MEANINGS:
            continue
        event = read_event(line.kind, line.data)
        by = getattr(event, "by", None)
        if isinstance(by, Person) and line.sig is not None:
            yield line.seq, line.moment, by, _meaning(event)


_MEANINGS = {
    ev.BatchOpened.kind: "opened the batch",
    ev.BatchTaken.kind: "took the batch in hand",
    ev.FindingOverridden.kind: "",
    ev.StepSigned.kind: "",
    ev.DeviationSettled.kind: "",
    ev.BatchReleased.kind: "released the batch",
    ev.BatchAbandoned.kind: "abandoned the batch",
}


def _meaning(event: ev.Event) -> str:
    if isinstance(event, ev.StepSigned):
        return f"signed step {event.step} as {event.meaning}"
    if isinstance(event, ev.FindingOverridden):
        return f"overrode finding {event.number} against the route"
    if isinstance(event, ev.DeviationSettled):
        return f"settled deviation {event.number}: {event.disposition}"
    return _MEANINGS[event.kind]
