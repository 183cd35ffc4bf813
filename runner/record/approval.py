"""Procedures under control: which text of a procedure may be walked.

Owns the rule and the writing of an approval. A procedure that was never approved may be walked, and its
record names its hash; once a revision is approved, only the approved text may, and only the newest one.
"""

from __future__ import annotations

from pathlib import Path

from runner.batch.moment import Moment
from runner.record.mending import adopt_orphans
from runner.record.session import Session
from runner.record.shop_events import ProcedureApproved
from runner.record.shop_journal import ShopJournal
from runner.record.shop_state import ShopState


def standing_of(state: ShopState, file: str, sha256: str) -> str:
    """How a procedure's text stands, in words: approved, superseded, changed, or never approved."""
    revisions = state.approved.get(file, ())
    if not revisions:
        return "never approved"
    if revisions[-1].sha256 == sha256:
        return f"approved as revision {revisions[-1].revision}"
    older = next((one for one in revisions if one.sha256 == sha256), None)
    if older is not None:
        return f"superseded: revision {older.revision}, now {revisions[-1].revision}"
    return f"changed since revision {revisions[-1].revision} was approved"


def refusal(state: ShopState, file: str, sha256: str) -> str | None:
    """Why a procedure's text may not be walked, and what to do; None where it may."""
    standing = standing_of(state, file, sha256)
    if standing.startswith("superseded"):
        return f"{file} is {standing}; take the newer one"
    if standing.startswith("changed"):
        return f"{file} was {standing}; put it back, or give it a new revision and approve that"
    return None


def approve(
    logs: Path, file: str, title: str, revision: str, sha256: str, session: Session, now: Moment
) -> ShopState:
    """Approve a procedure's text under its revision; signed by who may.

    A batch that a crash left out of the shop's journal is named there first: it was opened before, and
    must not seem to have been opened against what is approved now.

    Raises:
        InputFault: It is approved already, the revision was used for another text, or the role may not.
        JournalError: The disk did not take it.
        Held: Another terminal writes the shop's journal.
    """
    event = ProcedureApproved(file, title, revision, sha256)
    with ShopJournal.open(logs, now) as shop:
        adopt_orphans(shop, logs, session, now)
        return shop.write(event, session.person.id, now, session.signer)
