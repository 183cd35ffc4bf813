"""One bit or one length at a time: is every such change of a sealed batch found?

Works in memory, so that thousands can be tried: the folder of the batch and the shop's journal lie on a
file system of their own choosing, and only the file under attack is written again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from runner.record.trust import Trusted, ground
from runner.record.verify_batch import prove_batch
from support.works import Works

FILES = ("record.toml", "record.toml.sig", "journal.jsonl")


@dataclass(frozen=True)
class Change:
    """One change: a bit of a byte, or everything from a byte on cut off.

    Attributes:
        file: Name of the file in the batch's folder.
        at: The byte, counted from 0.
        bit: Which of its bits, or None for a cut.
    """

    file: str
    at: int
    bit: int | None = None

    def made(self, content: bytes) -> bytes:
        """The file's bytes with the change."""
        if self.bit is None:
            return content[: self.at]
        return content[: self.at] + bytes([content[self.at] ^ 1 << self.bit]) + content[self.at + 1 :]


def every_flip(folder: Path) -> Iterator[Change]:
    """One bit of every byte of the three files; which of the eight goes round."""
    for name in FILES:
        yield from (Change(name, at, at % 8) for at in range((folder / name).stat().st_size))


def every_cut(folder: Path) -> Iterator[Change]:
    """Every length of the three files below their own."""
    for name in FILES:
        yield from (Change(name, at) for at in range((folder / name).stat().st_size))


@dataclass
class Bench:
    """One sealed batch, and what its proof rests on.

    Attributes:
        folder: The batch's folder, to be spoilt and made whole again.
    """

    works: Works
    folder: Path
    _trusted: Trusted = field(init=False)

    def __post_init__(self) -> None:
        self._trusted = ground(self.works.logs, None, None)
        assert not self._trusted.findings
        assert not prove_batch(self.folder, self._trusted).findings

    def missed(self, changes: Iterable[Change]) -> list[Change]:
        """Those of the changes that nothing was found of, or not in the file where they were made."""
        contents = {name: (self.folder / name).read_bytes() for name in FILES}
        missed = []
        for change in changes:
            file = self.folder / change.file
            file.write_bytes(change.made(contents[change.file]))
            try:
                findings = prove_batch(self.folder, self._trusted).findings
            finally:
                file.write_bytes(contents[change.file])
            places = {one.where for one in findings}
            lines = any(place.startswith("line ") for place in places)
            if not findings or not (change.file in places or (change.file == "journal.jsonl" and lines)):
                missed.append(change)
        return missed
