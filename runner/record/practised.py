"""A practice walk in the ledger of its route: who walked it to its end says so with their PIN.

Owns the one line of the shop's journal that a practice can lead to, and that it is written only when somebody
who works there signs it. The practice itself stays apart: its journal, key and record are none of the shop's.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from runner.faults import InputFault
from runner.record import ledger_book
from runner.record.journal_errors import JournalError
from runner.record.layout import LOGS
from runner.record.ledger_events import RoutePractised
from runner.record.lock import Held
from runner.record.roll import Roll

if TYPE_CHECKING:
    from runner.batch.moment import Moment
    from runner.batch.terms import Person
    from runner.record.keys import Keys
    from runner.record.session import Session


class PractisedLedger:
    """Where a practice of a route can be entered.

    Args:
        folder: The shop's folder.
        file: The procedure's file, by its name alone.
        revision: As the file says it.
        keys: Of the people, on this machine.
        clock: Tells real moments; a practice's own clock hurries.

    Attributes:
        file: The procedure's file.
        entered: Who entered it, or None.
    """

    def __init__(
        self, folder: Path, file: str, revision: str, keys: Keys, clock: Callable[[], Moment]
    ) -> None:
        self.file = file
        self.entered: Person | None = None
        self._logs, self._revision, self._clock = folder / LOGS, revision, clock
        self._roll = Roll(folder, self._logs, keys)

    def people(self) -> list[Person]:
        """Who works in the shop, if anybody: each may say of themselves that they practised."""
        return self._roll.people()

    def unlock(self, who: str, pin: str) -> Session:
        """A person's session. Slow on purpose.

        Raises:
            NotUnlocked: And why.
        """
        return self._roll.unlock(who, pin, self._clock())

    def enter(self, session: Session) -> str | None:
        """Write that somebody practised the route to its end, signed by themselves, once.

        Returns:
            Why it was not written, in words; None where it is.
        """
        if self.entered is not None:
            return None
        event = RoutePractised(session.person.id, self.file, self._revision)
        try:
            ledger_book.write(self._logs, event, session, self._clock())
        except InputFault as wrong:
            return str(wrong)
        except JournalError as error:
            return str(error.fault)
        except Held as held:
            return f"another terminal writes the shop's journal ({held.by or 'it left no note'}): try again"
        self.entered = session.person
        return None
