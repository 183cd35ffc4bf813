"""What can the shop's own journal tell?

Owns the kinds of its lines and the shape of their data, strictly read. What may follow what stands in
`runner.record.shop_fold`.
"""

from __future__ import annotations

import re
from typing import ClassVar

from runner.batch.events import TailSetAside
from runner.plain_data import DataFault, Plain, from_data
from runner.record import sshsig
from runner.record.ledger_events import RoutePractised, RouteSignedOff, RouteWithdrawn, check_form
from runner.shop.names import PERSON_ID
from runner.shop.rights import Role
from runner.text import unfit

_HASH = re.compile(r"[0-9a-f]{64}")
_BATCH = re.compile(r"[0-9]{4}-[0-9]{4,}")


class PersonAdded(Plain, frozen=True):
    """Somebody new works here.

    Attributes:
        id: What records call them.
        name: What people call them.
        role: What they may do.
        key: Their public key, ``ssh-ed25519 AAAA…`` without a comment.
    """

    kind: ClassVar[str] = "person-added"
    id: str
    name: str
    role: Role
    key: str


class PersonChanged(Plain, frozen=True):
    """Somebody's name, role or key is another from here on, or they left, or came back.

    Attributes:
        active: Whether they work here. The key of one who left signs nothing more.
    """

    kind: ClassVar[str] = "person-changed"
    id: str
    name: str
    role: Role
    key: str
    active: bool


class BatchOpened(Plain, frozen=True):
    """A batch was begun.

    Attributes:
        batch: Its name, year and running number.
        first: Hash of the first line of its journal.
        open: For every other batch that was open then the hash of the last line of its journal, or empty
            where that could not be read. It shows a tail cut off later.
    """

    kind: ClassVar[str] = "batch-opened"
    batch: str
    first: str
    open: dict[str, str]


class BatchSealed(Plain, frozen=True):
    """A batch was released and its record signed.

    Attributes:
        record: SHA-256 of the record.
    """

    kind: ClassVar[str] = "batch-sealed"
    batch: str
    record: str


class BatchAbandoned(Plain, frozen=True):
    """A batch ended without parts to release; its record is signed all the same.

    Attributes:
        record: SHA-256 of the record.
    """

    kind: ClassVar[str] = "batch-abandoned"
    batch: str
    record: str


class BatchDeleted(Plain, frozen=True):
    """The files of a batch that ended were taken away, its time of keeping being over.

    Attributes:
        record: SHA-256 of the record, by which an archive of it can be known.
    """

    kind: ClassVar[str] = "batch-deleted"
    batch: str
    record: str
    reason: str


class AddendumSigned(Plain, frozen=True):
    """Something was added to a sealed batch's record, in a signed file of its own.

    Attributes:
        number: From 1, running on within the batch.
        sha256: Of the file.
    """

    kind: ClassVar[str] = "addendum-signed"
    batch: str
    number: int
    sha256: str


class PinRefused(Plain, frozen=True):
    """Somebody typed wrong PINs before the right one; told by the right one's owner, so that they see it.

    Attributes:
        id: Whose key it was.
        times: How many wrong PINs since the last right one.
    """

    kind: ClassVar[str] = "pin-refused"
    id: str
    times: int


class ProcedureApproved(Plain, frozen=True):
    """A procedure's file, as it is now, may be walked under its revision.

    Attributes:
        file: Its name in the shop's folder of procedures.
        revision: As the file says it.
        sha256: Of the file's bytes.
    """

    kind: ClassVar[str] = "procedure-approved"
    file: str
    title: str
    revision: str
    sha256: str


ShopEvent = (
    PersonAdded
    | PersonChanged
    | BatchOpened
    | BatchSealed
    | BatchAbandoned
    | BatchDeleted
    | AddendumSigned
    | PinRefused
    | ProcedureApproved
    | RoutePractised
    | RouteSignedOff
    | RouteWithdrawn
    | TailSetAside
)

_KINDS: dict[str, type[ShopEvent]] = {event.kind: event for event in ShopEvent.__args__}


def read_shop_event(kind: str, data: object) -> ShopEvent:
    """What a line tells.

    Raises:
        DataFault: No kind of this journal, or data that is not that kind's.
    """
    if kind not in _KINDS:
        raise DataFault(f"{kind} is nothing that the shop's journal tells")
    event = from_data(_KINDS[kind], data, kind)
    match event:
        case PersonAdded() | PersonChanged():
            _check_person(event)
        case BatchOpened():
            _form(_BATCH, event.batch, "batch")
            _form(_HASH, event.first, "first")
            for name, last in event.open.items():
                _form(_BATCH, name, "open")
                if last != "":
                    _form(_HASH, last, f"open.{name}")
        case BatchSealed() | BatchAbandoned():
            _form(_BATCH, event.batch, "batch")
            _form(_HASH, event.record, "record")
        case BatchDeleted():
            _form(_BATCH, event.batch, "batch")
            _form(_HASH, event.record, "record")
            if not event.reason.strip() or unfit(event.reason):
                raise DataFault(f"reason: {unfit(event.reason) or 'empty'}")
        case AddendumSigned():
            _form(_BATCH, event.batch, "batch")
            _form(_HASH, event.sha256, "sha256")
        case ProcedureApproved():
            _form(_HASH, event.sha256, "sha256")
            for name in ("file", "title", "revision"):
                if reason := unfit(getattr(event, name)):
                    raise DataFault(f"{name}: {reason}")
        case RoutePractised() | RouteSignedOff() | RouteWithdrawn():
            check_form(event)
        case PinRefused():
            _form(PERSON_ID, event.id, "id")
            if event.times < 1:
                raise DataFault("times: not above nought")
        case TailSetAside():
            _form(_HASH, event.sha256, "sha256")
    return event


def _check_person(event: PersonAdded | PersonChanged) -> None:
    _form(PERSON_ID, event.id, "id")
    if not event.name.strip() or unfit(event.name):
        raise DataFault(f"name: {unfit(event.name) or 'empty'}")
    try:
        public = sshsig.read_public_line(event.key)
    except sshsig.PublicKeyFault as fault:
        raise DataFault(f"key: {fault}") from fault
    if sshsig.public_line(public) != event.key:
        raise DataFault("key: more than a key and its kind")


def _form(form: re.Pattern[str], value: object, name: str) -> None:
    if not isinstance(value, str) or not form.fullmatch(value):
        raise DataFault(f"{name}: not of its form")
