"""What do the lines of the shop's journal come to, and which of them count?

Owns the fold of those lines. Must not touch the disk.

A line counts only if

- its data is that of its kind, and nothing more
- it is signed by a person who works here, with the key that is theirs at that line
- the first line adds the owner, who signs it with the key it names
- every other line about people is signed by an owner, and leaves at least one owner
- no key is given to a second person
- a batch's name is new; when it is opened every other open batch is named
- a batch that is sealed or abandoned was open; after that nothing more is told of it, but that it was deleted
- a line about who is able to walk a route keeps the rules of `runner.record.ledger`
- a batch that is deleted had ended, with the record named, and was not deleted before; an owner signs it
"""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING

from runner.plain_data import DataFault
from runner.record import ledger, sshsig
from runner.record import shop_events as ev
from runner.record.layout import LINE_NAMESPACE
from runner.record.ledger_events import RoutePractised, RouteSignedOff, RouteWithdrawn
from runner.record.lines import MOST_LINES, LineFault, unsigned_bytes
from runner.record.shop_state import Addendum, Approval, Deletion, HeldKey, ShopBatch, ShopPerson, ShopState
from runner.record.torn import Broken, split
from runner.shop.rights import Right, may

if TYPE_CHECKING:
    from collections.abc import Iterable

    from runner.record.lines import Line


class ShopFault(Exception):
    """A line of the shop's journal that does not count.

    Attributes:
        line: Which, from 1.
        reason: Why not, without a full stop.
    """

    def __init__(self, line: int, reason: str) -> None:
        super().__init__(f"line {line}: {reason}")
        self.line = line
        self.reason = reason


def fold(content: bytes) -> tuple[ShopState, int]:
    """What a shop's journal comes to, and how many bytes of a torn tail stand behind it.

    Raises:
        ShopFault: The first line that does not follow from the one before it, or does not count.
    """
    if content.count(b"\n") > MOST_LINES:
        raise ShopFault(1, f"more than {MOST_LINES} lines, which no shop comes to")
    try:
        lines, length = split(content)
    except Broken as broken:
        raise ShopFault(broken.seq, broken.reason) from broken
    return fold_lines(lines), len(content) - length


def fold_lines(lines: Iterable[Line], state: ShopState | None = None) -> ShopState:
    """What lines come to, after those that a state has.

    Raises:
        ShopFault: The first that does not count, or there are none.
    """
    # Copied once, and not at each line: with the years a shop has thousands of batches.
    state = _own(state) if state is not None else None
    for line in lines:
        state = _evolved(state, line)
    if state is None:
        raise ShopFault(1, "the shop's journal is empty")
    return state


def evolve(state: ShopState | None, line: Line) -> ShopState:
    """The state after one more line; the one before it stays as it is.

    Raises:
        ShopFault: It does not count.
    """
    return _evolved(_own(state) if state is not None else None, line)


def _own(state: ShopState) -> ShopState:
    """The same state, with batches that nobody else holds."""
    return state._replace(batches=dict(state.batches))


def _evolved(state: ShopState | None, line: Line) -> ShopState:
    """As `evolve`; the batches of the state before are written over, so they must be the fold's own."""
    try:
        event = ev.read_shop_event(line.kind, line.data)
        public = _signed_with(line)
        if state is None:
            return _founded(event, line, public)
        _check_signer(state, line, public)
        after = _after(state, event, line)
    except DataFault as fault:
        raise ShopFault(line.seq, str(fault)) from fault
    return after._replace(lines=line.seq)


def _signed_with(line: Line) -> bytes:
    if line.sig is None:
        raise DataFault("it is not signed")
    try:
        return sshsig.check(sshsig.decode64(line.sig), LINE_NAMESPACE, unsigned_bytes(line))
    except (sshsig.SignatureFault, LineFault) as fault:
        raise DataFault(f"its signature does not stand: {fault.reason}") from fault


def _check_signer(state: ShopState, line: Line, public: bytes) -> None:
    person = state.people.get(line.who)
    if person is None or not person.active:
        raise DataFault(f"{line.who or 'nobody'}, who signed it, does not work here")
    if person.key != public:
        raise DataFault(f"it is signed with a key that is not that of {line.who}")


def _founded(event: ev.ShopEvent, line: Line, public: bytes) -> ShopState:
    if not isinstance(event, ev.PersonAdded) or event.role != "owner":
        raise DataFault("the first line must add the owner")
    if event.id != line.who or sshsig.public_line(public) != event.key:
        raise DataFault("the owner must sign the first line with the key that it names")
    held = HeldKey(public, event.name, event.role, line.seq)
    owner = ShopPerson(event.id, event.name, event.role, True, line.who, (held,))
    return ShopState({event.id: owner}, {}, line.seq, sshsig.fingerprint(public), {})


def _after(state: ShopState, event: ev.ShopEvent, line: Line) -> ShopState:
    match event:
        case ev.PersonAdded():
            _need(state, line, "manage_people")
            return _added(state, event, line)
        case ev.PersonChanged():
            _need(state, line, "manage_people")
            return _changed(state, event, line)
        case ev.BatchOpened():
            _need(state, line, "walk")
            return _opened(state, event, line)
        case ev.AddendumSigned():
            _need(state, line, "release")
            return _amended(state, event, line)
        case ev.ProcedureApproved():
            _need(state, line, "approve")
            return _approved(state, event, line)
        case RoutePractised() | RouteSignedOff() | RouteWithdrawn():
            return ledger.entered(state, event, line.who, line.seq, line.moment)
        case ev.PinRefused():
            if event.id != line.who:
                raise DataFault(f"it tells of {event.id} and is signed by {line.who}")
            return state
        case ev.BatchSealed() | ev.BatchAbandoned():
            _need(state, line, "walk")
            return _closed(state, event, line)
        case ev.BatchDeleted():
            _need(state, line, "delete_records")
            return _deleted(state, event, line)
        case _:
            return state


def _need(state: ShopState, line: Line, right: Right) -> None:
    role = state.people[line.who].role
    if not may(role, right):
        raise DataFault(f"{line.who}, who signed it, is {role}, who may not do this")


def _added(state: ShopState, event: ev.PersonAdded, line: Line) -> ShopState:
    if event.id in state.people:
        raise DataFault(f"{event.id} is taken")
    public = _own_key(state, event)
    held = HeldKey(public, event.name, event.role, line.seq)
    person = ShopPerson(event.id, event.name, event.role, True, line.who, (held,))
    return state._replace(people={**state.people, event.id: person})


def _changed(state: ShopState, event: ev.PersonChanged, line: Line) -> ShopState:
    before = state.people.get(event.id)
    if before is None:
        raise DataFault(f"{event.id} was never added")
    public = _own_key(state, event)
    keys = before.keys
    was = (before.active, before.key, before.name, before.role)
    if (event.active, public, event.name, event.role) != was:
        if before.active:
            keys = (*keys[:-1], keys[-1]._replace(until=line.seq))
        if event.active:
            keys = (*keys, HeldKey(public, event.name, event.role, line.seq))
    after = before._replace(name=event.name, role=event.role, active=event.active, keys=keys)
    people = {**state.people, event.id: after}
    if not any(person.active and person.role == "owner" for person in people.values()):
        raise DataFault("it would leave the shop without an owner")
    return state._replace(people=people)


def _own_key(state: ShopState, event: ev.PersonAdded | ev.PersonChanged) -> bytes:
    """The key of an event, which nobody else may have or have had."""
    public = sshsig.read_public_line(event.key)
    for person in state.people.values():
        if person.id != event.id and any(held.public == public for held in person.keys):
            raise DataFault(f"the key is or was that of {person.id}")
    return public


def _opened(state: ShopState, event: ev.BatchOpened, line: Line) -> ShopState:
    if event.batch in state.batches:
        raise DataFault(f"batch {event.batch} was opened before")
    if set(event.open) != set(state.open_batches):
        raise DataFault("it does not name the batches that are open")
    batches = state.batches
    for name, last in event.open.items():
        if last:
            batches[name] = batches[name]._replace(seen=(*batches[name].seen, last))
    taken = {batches[name].place for name in state.open_batches}
    free = next(place for place in count(1) if place not in taken)
    batches[event.batch] = ShopBatch(
        event.batch, event.first, line.seq, state.people[line.who].id, place=free
    )
    return state._replace(open_batches=(*state.open_batches, event.batch))


def _amended(state: ShopState, event: ev.AddendumSigned, line: Line) -> ShopState:
    batch = state.batches.get(event.batch)
    if batch is None or batch.closed is None or batch.deleted is not None:
        raise DataFault(f"batch {event.batch} has no record that could be added to")
    if event.number != len(batch.addenda) + 1:
        raise DataFault(f"addendum {event.number} comes where {len(batch.addenda) + 1} is next")
    addenda = (*batch.addenda, Addendum(event.sha256, line.who, line.seq))
    state.batches[event.batch] = batch._replace(addenda=addenda)
    return state


def _approved(state: ShopState, event: ev.ProcedureApproved, line: Line) -> ShopState:
    before = state.approved.get(event.file, ())
    if before and before[-1].sha256 == event.sha256:
        raise DataFault(f"{event.file} is approved as it is")
    if any(one.revision == event.revision for one in before):
        raise DataFault(f"revision {event.revision} of {event.file} was approved with another text")
    approval = Approval(event.revision, event.sha256, line.seq, line.who, line.moment.at_ms)
    return state._replace(approved={**state.approved, event.file: (*before, approval)})


def _closed(state: ShopState, event: ev.BatchSealed | ev.BatchAbandoned, line: Line) -> ShopState:
    batch = state.batches.get(event.batch)
    if batch is None or batch.closed is not None:
        raise DataFault(f"batch {event.batch} is not open")
    abandoned = isinstance(event, ev.BatchAbandoned)
    at_ms = line.moment.at_ms
    after = batch._replace(closed=line.seq, closed_at_ms=at_ms, abandoned=abandoned, record=event.record)
    still_open = tuple(name for name in state.open_batches if name != event.batch)
    state.batches[event.batch] = after
    return state._replace(open_batches=still_open)


def _deleted(state: ShopState, event: ev.BatchDeleted, line: Line) -> ShopState:
    batch = state.batches.get(event.batch)
    if batch is None or batch.closed is None:
        raise DataFault(f"batch {event.batch} has not ended")
    if batch.deleted is not None:
        raise DataFault(f"batch {event.batch} was deleted before")
    if batch.record != event.record:
        raise DataFault(f"batch {event.batch} has another record than the one named")
    deletion = Deletion(state.people[line.who].name, line.moment.at_ms, event.reason)
    state.batches[event.batch] = batch._replace(deleted=deletion)
    return state
