"""Journals, keys and a disk that fails on order, for the tests of the records."""

from __future__ import annotations

import base64
import errno
import hashlib
import os
from typing import TYPE_CHECKING

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from runner.batch.moment import Moment
from runner.record.durable import Disk
from runner.record.journal import Entry
from runner.record.sshsig import Signer
from runner.record.torn import split

if TYPE_CHECKING:
    from pathlib import Path

    from runner.record.lines import Line

LINE_NAMESPACE = "journal-line@tankwalk"
START_MS = 1_767_261_600_000  # 2026-01-01T10:00:00Z


def key(number: int = 1) -> Ed25519PrivateKey:
    """The same key for the same number, in every run."""
    return Ed25519PrivateKey.from_private_bytes(bytes([number]) * 32)


def public(number: int = 1) -> bytes:
    """The raw public key of `key`."""
    return key(number).public_key().public_bytes_raw()


def signer(number: int = 1, namespace: str = LINE_NAMESPACE) -> Signer:
    """`key`, bound to a namespace."""
    return Signer(key(number), namespace)


def moment(second: float = 0) -> Moment:
    """A moment so many seconds after a fixed start."""
    return Moment(START_MS + round(second * 1000), "boot-1", round(second * 1000))


def entry(second: int = 0, kind: str = "noted", *, signed: bool = True, **data: object) -> Entry:
    """Something to write, signed by key 1 as ``op-1``."""
    return Entry(kind, dict(data), "op-1", moment(second), signer() if signed else None)


def error(number: int) -> OSError:
    """What the system raises for an error number."""
    return OSError(number, os.strerror(number))


class FaultyDisk(Disk):
    """A disk on which calls fail while they are told to.

    Attributes:
        room: How many more bytes fit, or None for no bound: a write beyond it goes in part (a short write),
            and fails with ENOSPC once nothing fits.
        failing: Names of calls that raise, each with its error number.
        writes: How many writes were asked for.
        flushes: How many flushes were asked for.
    """

    def __init__(self) -> None:
        self.room: int | None = None
        self.failing: dict[str, int] = {}
        self.writes = 0
        self.flushes = 0

    def heal(self) -> None:
        """From here on nothing fails."""
        self.room = None
        self.failing.clear()

    def _fail(self, call: str) -> None:
        if call in self.failing:
            raise error(self.failing[call])

    def open(self, path: Path, flags: int, mode: int = 0o644) -> int:
        """As told."""
        self._fail("open")
        return super().open(path, flags, mode)

    def write(self, fd: int, data: bytes) -> int:
        """As told."""
        self.writes += 1
        self._fail("write")
        if self.room is None:
            return super().write(fd, data)
        if self.room == 0 and data:
            raise error(errno.ENOSPC)
        went = super().write(fd, data[: self.room])
        self.room -= went
        return went

    def fsync(self, fd: int) -> None:
        """As told; not really flushed, since no power is cut here and thousands would take minutes."""
        del fd
        self.flushes += 1
        self._fail("fsync")

    def truncate(self, fd: int, length: int) -> None:
        """As told."""
        self._fail("truncate")
        super().truncate(fd, length)

    def stat(self, path: Path) -> os.stat_result:
        """As told."""
        self._fail("stat")
        return super().stat(path)

    def link(self, source: Path, target: Path) -> None:
        """As told."""
        self._fail("link")
        super().link(source, target)

    def replace(self, source: Path, target: Path) -> None:
        """As told."""
        self._fail("replace")
        super().replace(source, target)


def on_disk(path: Path) -> list[Line]:
    """Every line of a journal without a torn tail."""
    content = path.read_bytes()
    lines, length = split(content)
    assert length == len(content)
    return lines


def set_aside(line: Line) -> bytes:
    """The bytes that an event keeps, its own account of them proved."""
    assert line.kind == "tail-set-aside"
    kept = base64.b64decode(line.data["base64"])
    assert line.data["bytes"] == len(kept)
    assert line.data["sha256"] == hashlib.sha256(kept).hexdigest()
    assert set(line.data) == {"bytes", "sha256", "base64"}
    return kept
