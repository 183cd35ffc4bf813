"""What the fixtures of the attacks can be asked."""

from __future__ import annotations

from pathlib import Path
from typing import Protocol

from runner.record.reader import Finding
from runner.record.verify import Verdict
from support.forger import Forger


class Proved(Protocol):
    """Proves, and makes sure that the command line says the same."""

    def __call__(self, path: Path, signers: Path | None = None, owner: str | None = None) -> Verdict:
        """The verdict."""
        ...


class Found(Protocol):
    """What does not prove; fails where everything does, or where nothing is found as told."""

    def __call__(
        self,
        path: Path,
        where: str = "",
        what: str = "",
        signers: Path | None = None,
        owner: str | None = None,
    ) -> list[Finding]:
        """Every finding; one of them holds both texts."""
        ...


class Made(Protocol):
    """A forger with the keys of some people."""

    def __call__(self, *ids: str) -> Forger:
        """One on the copy of this test."""
        ...
