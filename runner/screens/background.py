"""Long work beside a screen: how far it is, and how it is given up when nobody waits for it any more.

Must not know a screen library: the work calls from a thread of its own, the screen looks when it ticks.
"""

from __future__ import annotations

from dataclasses import dataclass


class GivenUp(Exception):
    """Nobody waits for this work any more; raised in its own thread, at its next step."""


@dataclass(slots=True)
class Going:
    """How far a piece of work is; to be handed to it as what it tells its progress to.

    Attributes:
        what: In a word or two.
        done: Whether it is over.
    """

    what: str
    done: bool = False
    _count: int = 0
    _of: int = 0
    _given_up: bool = False

    def __call__(self, count: int, of: int) -> None:
        """So many are done, of so many.

        Raises:
            GivenUp: Nobody waits for it any more.
        """
        if self._given_up:
            raise GivenUp
        self._count, self._of = count, of

    def give_up(self) -> None:
        """Have it end at its next step: a thread cannot be stopped from outside."""
        self._given_up = True

    @property
    def words(self) -> str:
        """What stands on the screen while it goes on."""
        return f"{self.what} {self._count} of {self._of}" if self._of else f"{self.what}…"
