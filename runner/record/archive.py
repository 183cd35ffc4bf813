"""What is an archive of records?

Owns its parts: which members it may have, in which order, how large, and the list of them. An archive is one
file, zip or tar, that proves on its own: folders of batches as they lie below ``logs``, the whole of the
shop's journal (it proves itself), the list of signers that follows from it, and ``archive.toml``, which names
every other member with its SHA-256.

Nothing in it is compressed, so that it cannot unpack to more than its own size, and the same records give the
same bytes with any release of a compressor. Members stand in the order of their names, with fixed times.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from runner.record.allowed_signers import FILE as SIGNERS
from runner.record.allowed_signers import LONGEST_FILE as LONGEST_SIGNERS
from runner.record.layout import JOURNAL, LOGS, RECORD, SHOP_JOURNAL, SIGNATURE
from runner.record.lines import LONGEST_JOURNAL
from runner.record.shop_state import ShopState
from runner.record.verify_batch import LONGEST_RECORD, LONGEST_SIGNATURE

MANIFEST = "archive.toml"

MOST_MEMBERS = 60_000
"""More than any year of a shop has; below what a plain zip can count."""

MOST_BYTES = 4_000_000_000
"""Below what a plain zip can measure."""

_LONGEST_MANIFEST = 16 * 1024 * 1024
_LONGEST_OTHER = 64 * 1024 * 1024

_OF = re.compile(r"(?:year [0-9]{4})|(?:batch [0-9]{4}-[0-9]{4,12})")
_MEMBER = re.compile(
    rf"{LOGS}/(?P<batch>[0-9]{{4}}-[0-9]{{4,12}})/(?P<file>[A-Za-z0-9][A-Za-z0-9._-]{{0,99}})"
)
_HEAD = re.compile(r'format = 1\nof = "(?P<of>[a-z0-9 -]+)"\n')
_ENTRY = re.compile(
    r'\n\[\[member\]\]\nname = "(?P<name>[A-Za-z0-9._/-]+)"\nbytes = (?P<bytes>[0-9]{1,10})\n'
    r'sha256 = "(?P<sha256>[0-9a-f]{64})"\n'
)

_SHOP_MEMBERS = {
    MANIFEST: _LONGEST_MANIFEST,
    f"{LOGS}/{SIGNERS}": LONGEST_SIGNERS,
    f"{LOGS}/{SHOP_JOURNAL}": LONGEST_JOURNAL,
}
_BATCH_FILES = {JOURNAL: LONGEST_JOURNAL, RECORD: LONGEST_RECORD, SIGNATURE: LONGEST_SIGNATURE}


class ArchiveFault(Exception):
    """An archive that is none of ours, or none any more.

    Attributes:
        reason: What is wrong with it, without a full stop.
        where: The member, or empty.
    """

    def __init__(self, reason: str, where: str = "") -> None:
        super().__init__(f"{where}: {reason}" if where else reason)
        self.reason = reason
        self.where = where


@dataclass(frozen=True, slots=True)
class Member:
    """A file in an archive, as its list names it."""

    name: str
    size: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Manifest:
    """What an archive says that it holds.

    Attributes:
        of: ``year 2026`` or ``batch 2026-0001``.
        members: Every member but the list itself, in order.
    """

    of: str
    members: tuple[Member, ...]

    @property
    def batches(self) -> tuple[str, ...]:
        """The batches that have members in it, in order."""
        return tuple(dict.fromkeys(batch for one in self.members if (batch := batch_of(one.name))))

    def text(self) -> str:
        """The list as TOML, in its one form."""
        entries = "".join(
            f'\n[[member]]\nname = "{one.name}"\nbytes = {one.size}\nsha256 = "{one.sha256}"\n'
            for one in self.members
        )
        return f'format = 1\nof = "{self.of}"\n{entries}'


def read_manifest(raw: bytes) -> Manifest:
    """The list, only in the form in which it is written: a hostile one cannot keep a parser busy.

    Raises:
        ArchiveFault: Any other form.
    """
    try:
        text = raw.decode("ascii")
    except UnicodeDecodeError as error:
        raise ArchiveFault("it is not ASCII", MANIFEST) from error
    head = _HEAD.match(text)
    if head is None or not _OF.fullmatch(head["of"]):
        raise ArchiveFault("it does not begin as the list of an archive", MANIFEST)
    members = tuple(
        Member(found["name"], int(found["bytes"]), found["sha256"])
        for found in _ENTRY.finditer(text, head.end())
    )
    manifest = Manifest(head["of"], members)
    if manifest.text() != text:
        raise ArchiveFault("writing it again gives other bytes", MANIFEST)
    return manifest


def batch_of(name: str) -> str | None:
    """The batch that a member belongs to, or None."""
    found = _MEMBER.fullmatch(name)
    return found["batch"] if found else None


def longest(name: str) -> int:
    """Most bytes of a member.

    Raises:
        ArchiveFault: No archive has a member of that name.
    """
    if name in _SHOP_MEMBERS:
        return _SHOP_MEMBERS[name]
    found = _MEMBER.fullmatch(name)
    if found is None:
        raise ArchiveFault("no archive has a member of this name", name)
    return _BATCH_FILES.get(found["file"], _LONGEST_OTHER)


def check_next(name: str, size: int, before: str | None) -> None:
    """Whether a member may stand here.

    Raises:
        ArchiveFault: Its name, size or place is none of an archive's.
    """
    if size > longest(name):
        raise ArchiveFault(f"{size} bytes, where {longest(name)} are the most", name)
    if before is None and name != MANIFEST:
        raise ArchiveFault(f"the first member must be {MANIFEST}", name)
    if before is not None and name <= before:
        raise ArchiveFault("it stands there twice, or not in the order of names", name)


def wanted_batches(of: str, shop: ShopState) -> tuple[str, ...]:
    """The batches that an archive must hold, by the shop's journal in it.

    Of a year: those that ended and were not deleted before the archive was made.

    Raises:
        ArchiveFault: The one batch that it is of has not ended, or was deleted.
    """
    ended = [name for name, one in shop.batches.items() if one.closed is not None and one.deleted is None]
    what, _, which = of.partition(" ")
    if what == "year":
        return tuple(sorted(name for name in ended if name.startswith(f"{which}-")))
    if which not in ended:
        raise ArchiveFault("the shop's journal knows no batch of this name that ended and lies here", which)
    return (which,)


def total_size(sizes: Iterable[int]) -> int:
    """Bytes of all members.

    Raises:
        ArchiveFault: More, or larger, than an archive may hold.
    """
    known = list(sizes)
    if len(known) > MOST_MEMBERS or sum(known) > MOST_BYTES:
        most = f"{MOST_MEMBERS} and {MOST_BYTES} are the most"
        raise ArchiveFault(f"{len(known)} members with {sum(known)} bytes, where {most}")
    return sum(known)
