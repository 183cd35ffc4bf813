"""Whose signature counts, in the list that stock OpenSSH reads?

Owns the text of ``allowed_signers`` files: reading them strictly, and adding to ours. Must not know the
shop's journal, which says who stands there.

OpenSSH reads more than is taken here. A line counts here only if it names one person, plainly, with an
Ed25519 key and at most the purposes that the key is good for. Refused:

- names with ``*``, ``?`` or ``!``, and lists of names: whose signature it was would stay open
- ``cert-authority``: then others decide who signs
- dates and every other option: what this program cannot weigh it must not pass over
- purposes with patterns
- one key under two names
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from runner.faults import Fault, InputFault
from runner.record import durable, sshsig

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from runner.record.durable import Disk

PRODUCTION = ("batch-addendum@tankwalk", "batch-record@tankwalk", "journal-line@tankwalk")
PRACTICE = ("practice-line@tankwalk", "practice-record@tankwalk")

FILE = "allowed_signers"
"""Name of the list in a folder of records."""

LONGEST_FILE = 1024 * 1024

_LONGEST_LINE = 2000

_LINE = re.compile(
    r"(?P<who>\S+)[ \t]+(?:(?P<options>(?!ssh-)\S.*?)[ \t]+)?(?P<key>ssh-\S+[ \t]+\S+)(?:[ \t].*)?"
)
_WHO = re.compile(r"[A-Za-z0-9][A-Za-z0-9._@+-]*")
_PURPOSES = re.compile(r'namespaces="([A-Za-z0-9._@+,-]+)"')


@dataclass(frozen=True, slots=True)
class AllowedSigner:
    """A person's key.

    Attributes:
        who: The person.
        public: The 32 bytes of the public key.
        namespaces: The purposes that it is good for, or None for any.
    """

    who: str
    public: bytes
    namespaces: tuple[str, ...] | None

    @property
    def line(self) -> str:
        """The line of a file, without newline."""
        purposes = "" if self.namespaces is None else f'namespaces="{",".join(self.namespaces)}" '
        return f"{self.who} {purposes}{sshsig.public_line(self.public)}"


def read(text: str, file: str = "allowed_signers") -> list[AllowedSigner]:
    """The signers in a file's text. A person may stand there with several keys, one a line.

    Raises:
        InputFault: Every line that does not count, with what to do.
    """
    signers: list[AllowedSigner] = []
    faults: list[Fault] = []
    owners: dict[bytes, str] = {}
    for number, row in enumerate(text.split("\n"), start=1):
        if not row.strip() or row.lstrip().startswith("#"):
            continue
        try:
            signer = _signer(row)
        except ValueError as error:
            remedy = 'write one a line: NAME namespaces="…" ssh-ed25519 AAAA…'
            faults.append(Fault(str(error), remedy, file, number))
            continue
        if owners.setdefault(signer.public, signer.who) != signer.who:
            message = f"the key of {signer.who} stands here for {owners[signer.public]} too"
            faults.append(Fault(message, "give each person a key of their own", file, number))
        signers.append(signer)
    if faults:
        raise InputFault(*faults)
    return signers


def load(path: Path) -> list[AllowedSigner]:
    """The signers in a file.

    Raises:
        InputFault: It is not there, cannot be read, or holds lines that do not count.
    """
    try:
        text = durable.read_whole(path, LONGEST_FILE).decode("ascii")
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        remedy = "give the list of signers that was kept outside the records"
        raise InputFault(Fault(f"it cannot be read: {reason}", remedy, str(path))) from error
    return read(text, str(path))


def keys_for(signers: Iterable[AllowedSigner], namespace: str) -> dict[str, frozenset[bytes]]:
    """For each person the keys that are good for a purpose."""
    keys: dict[str, frozenset[bytes]] = {}
    for signer in signers:
        if signer.namespaces is None or namespace in signer.namespaces:
            keys[signer.who] = keys.get(signer.who, frozenset()) | {signer.public}
    return keys


def text_of(signers: Iterable[AllowedSigner]) -> str:
    """The text of a new file."""
    return "".join(f"{signer.line}\n" for signer in signers)


def write(path: Path, signers: Iterable[AllowedSigner], disk: Disk = durable.REAL) -> None:
    """Add to a file every signer that it lacks. A line that stands there is never lost or changed.

    Raises:
        OSError: It could not be read or written; the old file stands.
    """
    try:
        before = durable.read_whole(path, LONGEST_FILE, disk)
    except FileNotFoundError:
        before = b""
    standing = set(before.decode("utf-8", "replace").splitlines())
    wanted = dict.fromkeys(signer.line for signer in signers)
    missing = "".join(f"{line}\n" for line in wanted if line not in standing).encode("ascii")
    if missing:
        join = b"\n" if before and not before.endswith(b"\n") else b""
        durable.write_over(path, before + join + missing, disk)


def _signer(row: str) -> AllowedSigner:
    match = _LINE.fullmatch(row) if len(row) <= _LONGEST_LINE else None
    if match is None:
        raise ValueError("no name followed by an ssh-ed25519 key")
    who, options = match["who"], match["options"]
    if not _WHO.fullmatch(who):
        raise ValueError("the name is a pattern, a list or no plain name")
    namespaces = None
    if options is not None:
        purposes = _PURPOSES.fullmatch(options)
        if purposes is None:
            raise ValueError('an option other than namespaces="…" with plain names')
        namespaces = tuple(purposes[1].split(","))
    return AllowedSigner(who, sshsig.read_public_line(match["key"]), namespaces)
