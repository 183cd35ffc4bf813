"""How a procedure's revision stands, in words for whoever chooses one.

Owns the wording. What may be walked is decided in `runner.record.approval`. Must not know a screen library.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import tzinfo

from runner.batch.moment import rfc3339
from runner.record.approval import refusal, standing_of
from runner.record.shop_state import ShopState
from runner.screens.records_lines import when
from runner.text import shown


@dataclass(frozen=True, slots=True)
class Stands:
    """How one procedure's file stands.

    Attributes:
        words: Sign and words: approved by whom and when, changed, superseded, never approved.
        refused: Why it cannot be started and what to do; None where it can.
    """

    words: str
    refused: str | None = None


def stands(state: ShopState | None, file: str, sha256: str, zone: tzinfo | None) -> Stands:
    """How a procedure's text stands by the shop's journal.

    Args:
        state: What that comes to; None while there is none.
        file: The procedure's file, by its name alone.
        sha256: Of its text as it is now.
        zone: For the times.
    """
    if state is None:
        return Stands("· never approved")
    said = standing_of(state, file, sha256)
    revisions = state.approved.get(file, ())
    if refused := refusal(state, file, sha256):
        return Stands(f"! {shown(said)}: cannot be started", shown(refused))
    if not revisions:
        return Stands(f"· {said}")
    last = revisions[-1]
    by = state.people[last.by].name if last.by in state.people else last.by
    return Stands(f"✓ {shown(said)} by {shown(by, 30)}, {when(rfc3339(last.at_ms), zone)}")
