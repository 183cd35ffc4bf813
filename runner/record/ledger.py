"""Who may walk a route by themselves, and who only with a chargehand at each hold point?

Owns that rule, and which lines of the ledger count. Must not touch the disk.

- The ledger of a route begins with the first person who is signed off for it; before that everybody whose
  role allows it walks the route, as in a shop that keeps no ledger. Once begun it does not end.
- A route is the procedure's file. Somebody is signed off for one revision of it: a new revision asks for a
  new sign-off.
- A chargehand and an owner are asked for nothing: theirs is the signature that the others need.
- Who practised may say so themselves, or a chargehand says it; signing off and withdrawing is a chargehand's,
  and nobody signs off themselves.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from runner.plain_data import DataFault
from runner.record.ledger_events import LedgerEvent, RoutePractised, RouteSignedOff, RouteWithdrawn
from runner.record.shop_state import LedgerLine, ShopState
from runner.shop.rights import may

if TYPE_CHECKING:
    from runner.batch.moment import Moment
    from runner.batch.terms import Person


def entered(state: ShopState, event: LedgerEvent, by: str, line: int, moment: Moment) -> ShopState:
    """The shop's state with one more line of the ledger.

    Args:
        state: Before it.
        event: What the line tells.
        by: Who signed it, who works here.
        line: Its number.
        moment: When.

    Raises:
        DataFault: It does not count.
    """
    person = state.people.get(event.id)
    if person is None or not person.active:
        raise DataFault(f"{event.id} does not work here")
    if not (isinstance(event, RoutePractised) and by == event.id):
        role = state.people[by].role
        if not may(role, "sign_off"):
            raise DataFault(f"{by}, who signed it, is {role}, who may not do this")
    stands = signed_off(state, event.file, event.revision, event.id)
    if isinstance(event, RouteSignedOff) and by == event.id:
        raise DataFault(f"{by} signs off themselves")
    if isinstance(event, RouteSignedOff) and stands is not None:
        raise DataFault(f"{event.id} is signed off for {event.file}, revision {event.revision}")
    if isinstance(event, RouteWithdrawn) and stands is None:
        raise DataFault(f"{event.id} was not signed off for {event.file}, revision {event.revision}")
    reason = event.reason if isinstance(event, RouteWithdrawn) else ""
    told = LedgerLine(event.kind, event.id, event.file, event.revision, by, line, moment.at_ms, reason)
    return state._replace(ledger=(*state.ledger, told))


def begun(state: ShopState, file: str, line: int | None = None) -> bool:
    """Whether the ledger of a route had begun before a line of the shop's journal; by now where None."""
    return any(one.kind == RouteSignedOff.kind and one.file == file for one in _before(state, line))


def signed_off(
    state: ShopState, file: str, revision: str, who: str, line: int | None = None
) -> LedgerLine | None:
    """The sign-off of a person for a route that counted before a line; None where none did."""
    route = (who, file, revision)
    last = None
    for one in _before(state, line):
        if (one.id, one.file, one.revision) == route and one.kind != RoutePractised.kind:
            last = one
    return last if last is not None and last.kind == RouteSignedOff.kind else None


def needs_chargehand(
    state: ShopState, file: str, revision: str, person: Person, line: int | None = None
) -> bool:
    """Whether somebody walks a route only with a chargehand's signature at each hold point.

    Args:
        state: What the shop's journal comes to.
        file: The procedure's file, by its name alone.
        revision: As the file says it.
        person: Who has the batch in hand, with their role then.
        line: Of the shop's journal, before which it is asked; None for now.
    """
    if may(person.role, "sign_chargehand") or not begun(state, file, line):
        return False
    return signed_off(state, file, revision, person.id, line) is None


def signed_off_for(state: ShopState, file: str, revision: str) -> tuple[str, ...]:
    """Ids of everybody who works here and is signed off for a route now."""
    return tuple(
        one.id
        for one in state.people.values()
        if one.active and signed_off(state, file, revision, one.id) is not None
    )


def _before(state: ShopState, line: int | None) -> tuple[LedgerLine, ...]:
    return state.ledger if line is None else tuple(one for one in state.ledger if one.line < line)
