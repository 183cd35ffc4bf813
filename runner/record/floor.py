"""One shop's floor: its people, its open batches, and the way of each to its sealed record.

Owns the order of writing between a batch's journal and the shop's, and what is mended after a crash
between the two. Holds no state of a job of its own: batches are folds of their journals.
"""

from __future__ import annotations

import secrets
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from runner.batch.alarms import Call, calls
from runner.batch.events import FORMAT, BatchOpened
from runner.batch.intents import Intent, Stamp, Take
from runner.batch.moment import Moment, rfc3339
from runner.batch.state import BARRING, BatchState, Phase
from runner.batch.terms import Person
from runner.batch.terms import Standing as Finding
from runner.faults import InputFault
from runner.procedure.sheet import Plan
from runner.record import approval, durable, shop_events
from runner.record.fold import FoldFault
from runner.record.hold import Hold
from runner.record.journal_errors import JournalError
from runner.record.keys import Keys
from runner.record.layout import JOURNAL, LOGS, RECORD_NAMESPACE
from runner.record.ledger import needs_chargehand
from runner.record.lines import dump, line_hash
from runner.record.lock import Held, holder
from runner.record.mending import adopt_orphans, last_hashes
from runner.record.roll import Roll
from runner.record.session import Session
from runner.record.shop_journal import ShopJournal
from runner.record.shop_state import next_batch_name
from runner.record.standing import Standing, Watcher, living
from runner.shop.heading import heading

if TYPE_CHECKING:
    from runner.procedure.model import Source  # a board needs no validation library


LOCK_AFTER_S = 900.0
"""How long keys stay unlocked without a key press, where the shop says nothing (common practice)."""


class CannotOpen(Exception):
    """A batch could not be opened or sealed; the text says why and what to do."""


class Floor:
    """A shop's production floor, as one terminal works on it. Safe to call from several threads.

    Attributes:
        folder: The shop's folder.
        logs: Where its journals and records lie.
        title: What the shop calls itself.
        keys_given: Keys of the line that the shop gives otherwise, by ``screen.action``.
        alarm_command: What the shop has run for an alarm, or None.
        lock_after_s: How long keys stay unlocked without a key press.
        big_print: Whether the walk begins in big print.
        roll: Its people and their keys.
    """

    def __init__(self, folder: Path, keys: Keys) -> None:
        self.folder = folder
        self.logs = folder / LOGS
        shop = heading(folder)
        self.title = shop.title
        self.keys_given = shop.keys
        self.alarm_command = shop.alarm
        self.lock_after_s = shop.lock_after_s or LOCK_AFTER_S
        self.big_print = shop.big_print
        self.roll = Roll(folder, self.logs, keys)
        self._watcher = Watcher(self.logs)
        self._holds: dict[str, Hold] = {}
        self._sessions: dict[str, Session] = {}
        self._called: tuple[Moment, dict[str, BatchState], tuple[Call, ...]] | None = None

    # --- what stands ----------------------------------------------------------------------------------

    def standing(self) -> tuple[Standing, ...]:
        """Every open batch; those in hand here by their own state, the others as the disk shows them."""
        shop = self.roll.state
        places = {name: shop.batches[name].place for name in shop.open_batches} if shop else {}
        self._watcher.keep_only(places)
        return tuple(replace(self._stands(name), place=place) for name, place in places.items())

    def _stands(self, batch: str) -> Standing:
        hold = self._holds.get(batch)
        return Standing(batch, hold.state) if hold else self._watcher.look(batch)

    def states(self) -> dict[str, BatchState]:
        """Every open batch that folds, by name."""
        return {one.batch: one.state for one in self.standing() if one.state is not None}

    def anything_due(self, now: Moment) -> bool:
        """Whether any alarm sounds."""
        return any(call.rings for call in self.alarms(now))

    def alarms(self, now: Moment) -> tuple[Call, ...]:
        """What calls for a hand on any rack, the worst first."""
        states = self.states()
        known = self._called
        # Several parts of a screen ask at one moment, and it is a sum over every rack.
        if known is None or known[0] != now or not _same(known[1], states):
            known = self._called = now, states, calls(states, now)
        return known[2]

    # --- in hand ----------------------------------------------------------------------------------------

    def hold(self, batch: str) -> Hold:
        """A batch in hand here."""
        return self._holds[batch]

    def session(self, batch: str) -> Session | None:
        """Whose key is unlocked for a batch, or None."""
        return self._sessions.get(batch)

    def use(self, batch: str, session: Session) -> None:
        """Sign a batch's facts with this session's key from here on."""
        self._sessions[batch] = session

    def lock(self) -> bool:
        """Lock every key; the walks go on, and facts are taken unsigned. Whether any was unlocked."""
        unlocked = bool(self._sessions)
        self._sessions.clear()
        return unlocked

    def left_behind(self, batch: str) -> Person | None:
        """Who had a batch in hand at a terminal that went without letting it go; None where nobody did."""
        note = None if batch in self._holds else holder(self.logs / batch / JOURNAL)
        state = self._stands(batch).state if note is not None and living(note) is None else None
        return state.taken_by if state else None

    def take(self, batch: str, now: Moment) -> str | None:
        """Have a batch in hand; why not, in words, where that cannot be."""
        if batch in self._holds:
            return None
        try:
            self._holds[batch] = Hold.take(self.logs / batch, now)
        except Held as held:
            return f"batch {batch} is in hand at another terminal: {held.by or 'it left no note'}"
        except JournalError as error:
            return str(error.fault)
        except FoldFault as fault:
            return f"batch {batch} does not prove, {fault}: call the owner"
        return None

    def put_away(self, batch: str) -> None:
        """Let another terminal have it."""
        self._sessions.pop(batch, None)
        if hold := self._holds.pop(batch, None):
            hold.close()

    def close(self) -> None:
        """Let go of everything."""
        for batch in tuple(self._holds):
            self.put_away(batch)

    # --- opening, acting, sealing -----------------------------------------------------------------------

    def open_batch(
        self,
        procedure: Source,
        plan: Plan,
        part: str,
        customer: str,
        session: Session,
        now: Moment,
        findings: tuple[Finding, ...] = (),
    ) -> str:
        """Open a batch and have it in hand.

        Order on the disk: the batch's first line, then the shop's line that names its hash. A crash between
        the two leaves a batch that the next opening adopts.

        Returns:
            Its name.

        Raises:
            CannotOpen: And why.
        """
        if fixed := next((one for one in findings if one.severity in BARRING and not one.overridable), None):
            raise CannotOpen(f"this route is never walked: {fixed.message}")
        try:
            with ShopJournal.open(self.logs, now, memory=self.roll.memory) as shop:
                file = Path(procedure.file).name
                if reason := approval.refusal(shop.state, file, procedure.sha256):
                    raise CannotOpen(reason)
                adopt_orphans(shop, self.logs, session, now)
                name = next_batch_name(shop.state, int(rfc3339(now.at_ms)[:4]))
                opened = BatchOpened(
                    format=FORMAT,
                    shop=self.title,
                    batch=name,
                    mode="production",
                    nonce=secrets.token_hex(16),
                    procedure_file=file,
                    procedure_text=procedure.text,
                    plan=plan,
                    part=part,
                    customer=customer,
                    by=session.person,
                    findings=findings,
                    supervised=needs_chargehand(shop.state, file, plan.revision, session.person),
                )
                others = last_hashes(shop.state, self.logs)
                folder = self.logs / name
                folder.mkdir(exist_ok=True)  # an opening broken off by a crash left it empty
                durable.fsync_folder(self.logs)
                hold = Hold.create(folder, opened, now, session.signer)
                self._holds[name] = hold
                self._sessions[name] = session
                first = line_hash(dump(hold.lines[0]))
                event = shop_events.BatchOpened(batch=name, first=first, open=others)
                shop.write(event, session.person.id, now, session.signer)
        except (JournalError, Held, InputFault, OSError) as error:
            raise CannotOpen(_words(error)) from error
        finally:
            self.roll.look_again()
        return name

    def act(self, batch: str, intent: Intent, now: Moment, session: Session | None = None) -> None:
        """Carry an intent out on a batch in hand; an ending is sealed at once.

        Args:
            batch: Which.
            intent: What is wanted.
            now: When.
            session: Unlocked for this very act; else the batch's own, if any is.

        Raises:
            Refused: It would break the order or the record.
            JournalError: The disk did not take it; nothing of it counts.
            CannotOpen: It ended, and could not be sealed: it will be at the next start.
        """
        hold = self._holds[batch]
        signs = session or self._sessions.get(batch)
        by = signs.person if signs else hold.state.taken_by
        stamp = Stamp(now, by, unlocked=signs is not None, fresh=session is not None)
        if isinstance(intent, Take) and (shop := self.roll.state) is not None:
            opened = hold.state.opened
            route = (opened.procedure_file, opened.plan.revision)
            intent = Take(supervised=needs_chargehand(shop, *route, by))
        hold.do(intent, stamp, signs.signer if signs else None)
        if hold.state.phase.ended and signs is not None:
            self.seal(batch, signs, now)

    def seal(self, batch: str, session: Session, now: Moment) -> None:
        """Write a batch's record, its signature, and the shop's line about it.

        Raises:
            CannotOpen: Somebody else ended it, or the disk did not take it.
        """
        from runner.record import seal  # noqa: PLC0415  # writing a record loads only where one is written

        state = self.states()[batch]
        if state.ended_by is None or state.ended_by.id != session.person.id:
            ender = state.ended_by.name if state.ended_by else "nobody"
            raise CannotOpen(f"batch {batch} was ended by {ender}, who alone can seal it")
        try:
            record = seal.seal(self.logs / batch, session.key, RECORD_NAMESPACE)
            event: shop_events.ShopEvent = shop_events.BatchSealed(batch=batch, record=record)
            if state.phase is Phase.ABANDONED:
                event = shop_events.BatchAbandoned(batch=batch, record=record)
            with ShopJournal.open(self.logs, now, memory=self.roll.memory) as shop:
                shop.write(event, session.person.id, now, session.signer)
        except (JournalError, Held, InputFault, FoldFault, OSError) as error:
            raise CannotOpen(f"ended, and not sealed yet: {_words(error)}") from error
        finally:
            self.roll.look_again()


def _same(one: dict[str, BatchState], other: dict[str, BatchState]) -> bool:
    """Whether nothing happened to any rack in between: a state that is the very same object."""
    return one.keys() == other.keys() and all(one[batch] is other[batch] for batch in one)


def _words(error: Exception) -> str:
    """What went wrong, in words for the line."""
    if isinstance(error, JournalError):
        return str(error.fault)
    if isinstance(error, Held):
        return f"another terminal is writing the shop's journal ({error.by or 'no note'}): try again"
    if isinstance(error, OSError):
        return f"{error.filename or 'the disk'}: {error.strerror or error}"
    return str(error)
