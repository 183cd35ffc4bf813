"""Writing a line of the ledger, and how often somebody walked a route supervised.

Owns both; the rule is in `runner.record.ledger`. Supervised walks are counted from what lies in the folders
of sealed batches, never written down: a count that anybody could write would be worth nothing.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from runner.batch.events import BatchOpened
from runner.batch.kinds import read_event
from runner.plain_data import DataFault
from runner.record.ledger import signed_off
from runner.record.ledger_events import LedgerEvent, RoutePractised
from runner.record.lines import LineFault, line_hash, parse
from runner.record.mending import adopt_orphans
from runner.record.reading import read_journal
from runner.record.shop_journal import ShopJournal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from runner.batch.moment import Moment
    from runner.record.session import Session
    from runner.record.shop_state import LedgerLine, ShopBatch, ShopState


class Able(NamedTuple):
    """How far somebody is with a route.

    Attributes:
        practised: How often that was told.
        supervised: Batches of it that they opened, walked under a chargehand and released.
        signed_off: The line that signed them off and counts, or None.
    """

    id: str
    file: str
    revision: str
    practised: int
    supervised: int
    signed_off: LedgerLine | None


def write(logs: Path, event: LedgerEvent, session: Session, now: Moment) -> ShopState:
    """Write a line of the ledger.

    A batch that a crash left out of the shop's journal is named there first: it was opened before, and must
    not seem to have been opened against what the ledger says now.

    Raises:
        InputFault: The line would not count.
        JournalError: The disk did not take it.
        Held: Another terminal writes the shop's journal.
    """
    with ShopJournal.open(logs, now) as shop:
        adopt_orphans(shop, logs, session, now)
        return shop.write(event, session.person.id, now, session.signer)


def able(state: ShopState, logs: Path) -> tuple[Able, ...]:
    """Everybody who works here with every route that the ledger or a supervised walk names, by route."""
    walks = list(supervised_walks(state, logs))
    told = {(one.id, one.file, one.revision) for one in state.ledger}
    rows = []
    for who, file, revision in sorted({*told, *walks}, key=lambda one: (one[1], one[2], one[0])):
        person = state.people.get(who)
        if person is None or not person.active:
            continue
        practised = sum(
            one.kind == RoutePractised.kind and (one.id, one.file, one.revision) == (who, file, revision)
            for one in state.ledger
        )
        signed = signed_off(state, file, revision, who)
        rows.append(Able(who, file, revision, practised, walks.count((who, file, revision)), signed))
    return tuple(rows)


def supervised_walks(state: ShopState, logs: Path) -> Iterator[tuple[str, str, str]]:
    """Who, file and revision of each released batch that was opened to be walked under a chargehand.

    A batch counts only with the first line that the shop's journal knows, and only for who opened it. What
    else its folder holds is for `verify` to prove.
    """
    for told in state.batches.values():
        if told.closed is None or told.abandoned or told.deleted is not None:
            continue
        opened = _opened(told, logs)
        if opened is not None and opened.supervised:
            yield opened.by.id, opened.procedure_file, opened.plan.revision


def _opened(told: ShopBatch, logs: Path) -> BatchOpened | None:
    try:
        raw, newline, _ = read_journal(logs / told.name).partition(b"\n")
        if line_hash(raw + newline) != told.first:
            return None
        line = parse(raw + newline)
        event = read_event(line.kind, line.data)
    except (OSError, LineFault, DataFault):
        return None  # what cannot be read counts for nobody; verify says what is wrong with it
    return event if isinstance(event, BatchOpened) else None
