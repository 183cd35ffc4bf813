"""The kind of each event, by which it stands on a journal's line, and its data there.

Owns which kinds need a signature of their own. Must not know what an event changes.
"""

from __future__ import annotations

from typing import Any

from runner.batch.events import (
    AlarmShelved,
    BatchAbandoned,
    BatchOpened,
    BatchReleased,
    BatchTaken,
    DeviationSettled,
    Event,
    FindingOverridden,
    StepRedone,
    StepSigned,
)
from runner.plain_data import DataFault, from_data, told_data

KINDS: dict[str, type[Event]] = {event.kind: event for event in Event.__args__}

SIGNED_KINDS = frozenset(
    event.kind
    for event in (
        BatchOpened,
        FindingOverridden,
        BatchTaken,
        AlarmShelved,
        StepSigned,
        StepRedone,
        DeviationSettled,
        BatchReleased,
        BatchAbandoned,
    )
)
"""Kinds that stand only with a signature of their own; the rest are facts, covered by the next one."""


def event_data(event: Event) -> dict[str, Any]:
    """The event's fields as plain data for a journal line."""
    data: dict[str, Any] = told_data(event)
    return data


def read_event(kind: str, data: Any) -> Event:
    """The event of a journal line.

    Raises:
        DataFault: An unknown kind, or data that the kind does not have.
    """
    if kind not in KINDS:
        raise DataFault(f"no event is called {kind!r}")
    return from_data(KINDS[kind], data, kind)
