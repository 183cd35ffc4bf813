"""A person at the terminal with their key unlocked."""

from __future__ import annotations

from dataclasses import dataclass

from runner.batch.terms import Person
from runner.record.keys import UnlockedKey
from runner.record.layout import LINE_NAMESPACE
from runner.record.sshsig import Signer


class NotUnlocked(Exception):
    """A key could not be unlocked; the text says why and what to do."""


@dataclass(frozen=True, slots=True)
class Session:
    """Who is here, and the key that signs for them.

    Attributes:
        person: As the shop journal knows them.
        key: Unlocked with their PIN.
    """

    person: Person
    key: UnlockedKey

    @property
    def signer(self) -> Signer:
        """Signs journal lines."""
        return self.key.signer(LINE_NAMESPACE)
