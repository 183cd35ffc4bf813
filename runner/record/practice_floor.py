"""The floor of one practice walk: the same walk as production's, on a batch that is none of it.

Owns what a practice walk may touch: its own folder in ``logs/practice``, its own key, its own namespaces.
It reads nothing of the shop's journal, people or open batches, and writes nothing there; it rings no siren.
(Who practised can have that entered in the shop's ledger afterwards: `runner.record.practised`.)
"""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import NoReturn, Self

from runner.batch.moment import Moment
from runner.batch.practice_log import PracticeLog
from runner.batch.state import BatchState
from runner.batch.terms import Person
from runner.faults import InputFault
from runner.procedure.sheet import Plan
from runner.record import practice_left, seal
from runner.record.floor import CannotOpen, Floor
from runner.record.fold import FoldFault
from runner.record.hold import Hold
from runner.record.journal_errors import JournalError
from runner.record.keys import Keys, UnlockedKey
from runner.record.layout import LOGS, PRACTICE, PRACTICE_LINE_NAMESPACE, PRACTICE_RECORD_NAMESPACE
from runner.record.rehearse import Begun, begin
from runner.record.roll import Roll
from runner.record.session import NotUnlocked, Session
from runner.record.sshsig import Signer
from runner.record.standing import Standing
from runner.shop.heading import heading

PRACTICE_PIN = "000000"
"""Asked for at hold points, so that the hand learns it; it guards nothing and stands on the screen."""

PART = "practice, no parts"
"""What a practice batch is called where a rack's part is told."""


class PracticeSession(Session):
    """A key that signs lines of practice, and no others."""

    @property
    def signer(self) -> Signer:
        """Signs lines of a practice journal."""
        return self.key.signer(PRACTICE_LINE_NAMESPACE)


class PracticeRoll(Roll):
    """Nobody but the practice's own person; the shop's people are not asked."""

    def __init__(self, practice: Path, session: PracticeSession) -> None:
        # The folder holds no shop journal and no keys, so nothing is read here.
        super().__init__(practice, practice, Keys(practice / "keys"))
        self._session = session

    def people(self) -> list[Person]:
        """The one who practises."""
        return [self._session.person]

    def unlock(self, who: str, pin: str, now: Moment) -> Session:
        """The practice's session, for the PIN that stands on the screen.

        Raises:
            NotUnlocked: It was another.
        """
        del who, now
        if pin != PRACTICE_PIN:
            raise NotUnlocked(f"practice: the PIN is {PRACTICE_PIN}")
        return self._session


class PracticeFloor(Floor):
    """One practice batch in hand, until it is sealed or left.

    Args:
        folder: The shop's folder; only ``logs/practice`` in it is written.
        begun: The practice batch, begun or taken up again.

    Attributes:
        batch: Its name.
    """

    def __init__(self, folder: Path, begun: Begun) -> None:
        super().__init__(folder, Keys(folder / LOGS / PRACTICE / "keys"))
        self.title = f"PRACTICE · {self.title}"
        self.alarm_command = None
        self.logs = folder / LOGS / PRACTICE
        self.batch = begun.hold.folder.name
        self.batch_folder = begun.hold.folder
        self._key: UnlockedKey = begun.key
        self._session = PracticeSession(begun.by, begun.key)
        self._hold: Hold = begun.hold
        self.roll = PracticeRoll(self.logs, self._session)
        self._holds[self.batch] = begun.hold
        self._sessions[self.batch] = self._session

    @classmethod
    def new(cls, folder: Path, plan: Plan, procedure_file: str, procedure_text: str, start: Moment) -> Self:
        """The floor of a practice that begins.

        Args:
            folder: The shop's folder.
            plan: What is walked.
            procedure_file: The procedure's file, as given.
            procedure_text: What stands in it.
            start: When the practice begins.

        Raises:
            JournalError: The disk did not take the first line.
            OSError: The folder could not be written.
        """
        title = heading(folder).title
        return cls(folder, begin(folder / LOGS, plan, title, procedure_file, procedure_text, start, PART))

    def keep(self, log: PracticeLog) -> None:
        """Keep the log for a practice that is left; one that the disk does not take is not offered again."""
        with contextlib.suppress(OSError):
            practice_left.keep(self.batch_folder, log)

    @property
    def practised(self) -> BatchState:
        """The practice batch, in hand or put away."""
        return self._hold.state

    def standing(self) -> tuple[Standing, ...]:
        """The practice batch alone, as long as it is in hand."""
        return tuple(Standing(name, hold.state) for name, hold in self._holds.items())

    def lock(self) -> bool:
        """Nothing is locked: this key guards nothing."""
        return False

    def open_batch(self, *args: object, **kwargs: object) -> NoReturn:
        """Practice opens no batch of the shop's.

        Raises:
            CannotOpen: Always.
        """
        del args, kwargs
        raise CannotOpen("this is practice: leave it to open a batch")

    def seal(self, batch: str, session: Session, now: Moment) -> None:
        """Write the practice record and its signature; no line of the shop's journal.

        Raises:
            CannotOpen: The disk did not take it.
        """
        del session, now
        try:
            seal.seal(self.logs / batch, self._key, PRACTICE_RECORD_NAMESPACE)
        except (JournalError, InputFault, FoldFault, OSError) as error:
            raise CannotOpen(f"ended, and not sealed: {error}") from error

    def put_away(self, batch: str) -> None:
        """Let go of the disk; what was walked stays to be looked back on."""
        self._hold.close()
        self._holds.pop(batch, None)
        self._sessions.pop(batch, None)
