"""Who works in the shop, and which batches are there?

Owns the shapes that the shop's journal folds into, and what can be asked of them. Must not know how lines
change them (`runner.record.shop_fold`), nor touch the disk.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping


class HeldKey(NamedTuple):
    """A key while it was a person's, with the name and role that they had then.

    Attributes:
        public: Its 32 bytes.
        since: Line of the shop's journal from which it counts.
        until: Line from which it counts no more, or None.
    """

    public: bytes
    name: str
    role: str
    since: int
    until: int | None = None

    def stood_at(self, line: int) -> bool:
        """Whether it counted when a line was written."""
        return self.since <= line and (self.until is None or self.until > line)


class ShopPerson(NamedTuple):
    """Somebody who works, or worked, in the shop.

    Attributes:
        added_by: Who added them.
        keys: Every key they ever had, in order; at most the last one counts now.
    """

    id: str
    name: str
    role: str
    active: bool
    added_by: str
    keys: tuple[HeldKey, ...]

    @property
    def key(self) -> bytes | None:
        """The public key that counts now, or None for one who left."""
        return self.keys[-1].public if self.active else None


class Deletion(NamedTuple):
    """That the files of a batch were taken away.

    Attributes:
        by: Name of who signed it, as it was then.
        at_ms: UTC wall time in milliseconds since 1970.
    """

    by: str
    at_ms: int
    reason: str


class Addendum(NamedTuple):
    """Something added to a sealed record.

    Attributes:
        sha256: Of its file.
        by: Who signed it.
        line: Of the shop's journal.
    """

    sha256: str
    by: str
    line: int


class ShopBatch(NamedTuple):
    """A batch, as the shop's journal knows it.

    Attributes:
        first: Hash of the first line of its journal.
        opened: Line of the shop's journal that opened it.
        opened_by: Who.
        closed: Line that sealed or abandoned it, or None while it is open.
        abandoned: Whether that line abandoned it.
        record: SHA-256 of its record, or None while it is open.
        seen: Hashes of lines of its journal that were its last when other batches were opened.
        closed_at_ms: Wall time of the line that closed it, or None while it is open.
        addenda: What was added to its record since, in order.
        deleted: That its files were taken away since, or None.
        place: From 1, kept from its opening to its end: the lowest that no other open batch had then.
    """

    name: str
    first: str
    opened: int
    opened_by: str
    closed: int | None = None
    abandoned: bool = False
    record: str | None = None
    seen: tuple[str, ...] = ()
    closed_at_ms: int | None = None
    deleted: Deletion | None = None
    addenda: tuple[Addendum, ...] = ()
    place: int = 1


class Approval(NamedTuple):
    """A revision of a procedure that was approved.

    Attributes:
        sha256: Of the file's bytes.
        line: Of the shop's journal.
        by: Id of who approved it.
        at_ms: UTC wall time in milliseconds since 1970.
    """

    revision: str
    sha256: str
    line: int
    by: str
    at_ms: int


class LedgerLine(NamedTuple):
    """A line about who is able to walk a route.

    Attributes:
        kind: Practised, signed off or withdrawn, as the journal calls it.
        id: Of whom it tells.
        file: The procedure's file, by its name alone.
        by: Id of who signed it.
        line: Of the shop's journal.
        at_ms: UTC wall time in milliseconds since 1970.
        reason: Why it was withdrawn; empty otherwise.
    """

    kind: str
    id: str
    file: str
    revision: str
    by: str
    line: int
    at_ms: int
    reason: str = ""


class ShopState(NamedTuple):
    """What the shop's journal comes to.

    Attributes:
        people: By id, those who left too.
        batches: By name, in the order in which they were opened; the fold alone writes to it.
        lines: How many lines it has.
        approved: By file, every revision that was approved, the one that counts last.
        owner: Fingerprint of the key that signed line 1, to be pinned on paper.
        open_batches: Names of the batches that are neither sealed nor abandoned, in the order of opening.
            Kept, since asking all batches at each line would cost their square.
        ledger: Every line about who is able to walk which route, in order.
    """

    people: Mapping[str, ShopPerson]
    batches: dict[str, ShopBatch]
    lines: int
    owner: str
    approved: Mapping[str, tuple[Approval, ...]]
    open_batches: tuple[str, ...] = ()
    ledger: tuple[LedgerLine, ...] = ()

    def approved_at(self, file: str, line: int) -> Approval | None:
        """The approval of a procedure that counted when a line was written, or None where there was none."""
        before = [one for one in self.approved.get(file, ()) if one.line < line]
        return before[-1] if before else None

    def keys_for(self, batch: str) -> dict[str, frozenset[bytes]]:
        """For each person the keys that were theirs at some time while a batch was open."""
        keys = {who: frozenset(held.public for held in self.held(batch, who)) for who in self.people}
        return {who: held for who, held in keys.items() if held}

    def held(self, batch: str, who: str) -> tuple[HeldKey, ...]:
        """The keys of a person while a batch was open, each with their name and role then."""
        told = self.batches[batch]
        end = self.lines if told.closed is None else told.closed
        person = self.people.get(who)
        return tuple(
            held
            for held in (person.keys if person else ())
            if held.since <= end and (held.until is None or held.until > told.opened)
        )


def next_batch_name(state: ShopState, year: int) -> str:
    """The name of the next batch of a year: numbers run on within it, from 0001."""
    taken = [name.partition("-") for name in state.batches]
    numbers = [int(number) for of_year, _, number in taken if of_year == f"{year:04d}"]
    return f"{year:04d}-{max(numbers, default=0) + 1:04d}"
