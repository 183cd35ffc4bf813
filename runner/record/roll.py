"""The shop's roll: who works here, by the shop's journal, and whose key opens with which PIN.

Owns adding people and unlocking them. ``people.toml`` is written from the journal, for reading; where the
two differ the journal is right, and the difference is said.
"""

from __future__ import annotations

import contextlib
from pathlib import Path

from runner.batch.moment import Moment
from runner.batch.terms import Person
from runner.faults import InputFault, fault
from runner.record.journal_errors import JournalError
from runner.record.keys import KeyProblem, Keys, UnlockedKey
from runner.record.layout import LINE_NAMESPACE, SHOP_JOURNAL
from runner.record.lock import Held
from runner.record.session import NotUnlocked, Session
from runner.record.shop_events import PersonAdded, PersonChanged, PinRefused
from runner.record.shop_fold import ShopFault
from runner.record.shop_journal import ShopJournal
from runner.record.shop_memory import ShopMemory
from runner.record.shop_reading import read_shop
from runner.record.shop_state import ShopPerson, ShopState
from runner.record.sshsig import fingerprint, public_line
from runner.shop.finding import people_file
from runner.shop.rights import Role, role_of


class CannotAdd(Exception):
    """A person could not be added; the text says why and what to do."""


class Roll:
    """The people of one shop.

    Attributes:
        state: What the shop's journal comes to; None while there is none.
        problem: Why it has no state although there is a journal, in words; None where all is well.
        memory: What was folded of the shop's journal, for whoever writes or reads it here next.
    """

    def __init__(self, folder: Path, logs: Path, keys: Keys) -> None:
        self._folder, self._logs, self._keys = folder, logs, keys
        self.memory = ShopMemory()
        self.state: ShopState | None = None
        self.problem: str | None = None
        self._mark: tuple[int, int] | None = None
        self.look_again()

    def look_again(self) -> None:
        """Read the shop's journal, where it has changed."""
        try:
            stat = (self._logs / SHOP_JOURNAL).lstat()
        except OSError:
            self.state, self.problem, self._mark = None, None, None
            return
        mark = (stat.st_size, stat.st_mtime_ns)
        if mark == self._mark:
            return
        try:
            self.state, self.problem = read_shop(self._logs, self.memory), None
        except ShopFault as fault:
            self.problem = f"the shop's journal does not prove: {fault}; call the owner, change nothing"
        except InputFault as wrong:
            self.problem = str(wrong)
        self._mark = mark

    def people(self) -> list[Person]:
        """Who works here now."""
        everybody = self.state.people.values() if self.state else ()
        return [_person(one) for one in everybody if one.active]

    def unlock(self, who: str, pin: str, now: Moment) -> Session:
        """A person's session. Slow on purpose.

        Raises:
            NotUnlocked: And why.
        """
        one = self.state.people.get(who) if self.state else None
        if one is None or one.key is None:
            raise NotUnlocked(f"{who} does not work here: the owner can add people")
        wrong = self._keys.wrong_pins(fingerprint(one.key))
        try:
            key = self._keys.unlock(fingerprint(one.key), pin, now)
        except KeyProblem as problem:
            raise NotUnlocked(str(problem)) from problem
        session = Session(_person(one), key)
        if wrong:
            self._tell_wrong(session, wrong, now)
        return session

    def _tell_wrong(self, session: Session, times: int, now: Moment) -> None:
        """Wrong PINs are kept where nobody takes them out again; a busy journal must lock nobody out."""
        told = PinRefused(session.person.id, times)
        with (
            contextlib.suppress(JournalError, Held),
            ShopJournal.open(self._logs, now, memory=self.memory) as shop,
        ):
            shop.write(told, session.person.id, now, session.signer)
        self.look_again()

    def add(self, who: str, name: str, role: Role, pin: str, owner: Session | None, now: Moment) -> str:
        """Add a person with a new key under their PIN.

        Args:
            who: What records call them.
            name: As it is printed.
            role: What they may do.
            pin: Theirs, at least six digits.
            owner: Unlocked, to sign it; None for the first person, who is the owner and signs for themselves.
            now: When.

        Returns:
            The fingerprint of their key.

        Raises:
            InputFault: A name, role or PIN that cannot be.
            CannotAdd: The disk did not take it, or another terminal writes.
        """
        self._check(who, name, role, first=owner is None)
        try:
            self._logs.mkdir(exist_ok=True)
            key = self._keys.create(pin)
            added = PersonAdded(id=who, name=name, role=role, key=key.public_line)
            if owner is None:
                ShopJournal.found(self._logs, added, now, key.signer(LINE_NAMESPACE)).close()
            else:
                with ShopJournal.open(self._logs, now, memory=self.memory) as shop:
                    shop.write(added, owner.person.id, now, owner.signer)
            self.look_again()
        except (JournalError, OSError) as error:
            raise CannotAdd(str(error)) from error
        except Held as held:
            raise CannotAdd(f"another terminal writes the shop's journal ({held.by}): try again") from held
        with contextlib.suppress(OSError):  # a print of the journal, which has the person; the next writes it
            self._write_people()
        return key.fingerprint

    def change(
        self,
        who: str,
        owner: Session,
        now: Moment,
        *,
        name: str | None = None,
        role: Role | None = None,
        active: bool = True,
        pin: str | None = None,
    ) -> str:
        """Change a person's name or role, suspend them, or give them a new key.

        Args:
            who: Their id, which never changes.
            owner: Unlocked, to sign it.
            now: When.
            name: Another name.
            role: Another role.
            active: False where they work here no more; somebody who comes back needs a new key.
            pin: For a new key, which takes the place of the old one from here on.

        Returns:
            The fingerprint of the key that counts, or of the last one that did.

        Raises:
            InputFault: No such person, or a change that cannot be.
            CannotAdd: The disk did not take it, or another terminal writes.
        """
        one = self.state.people.get(who) if self.state else None
        if one is None:
            raise fault(f"{who} was never added", "see tankwalk people list")
        if active and not one.active and pin is None:
            raise fault(f"{who} works here no more", "somebody who comes back needs a new key and PIN")
        try:
            key = self._keys.create(pin).public if pin is not None else one.keys[-1].public
            changed = PersonChanged(
                id=who,
                name=name or one.name,
                role=role or role_of(one.role),
                key=public_line(key),
                active=active,
            )
            with ShopJournal.open(self._logs, now, memory=self.memory) as shop:
                shop.write(changed, owner.person.id, now, owner.signer)
        except (JournalError, OSError) as error:
            raise CannotAdd(str(error)) from error
        except Held as held:
            raise CannotAdd(f"another terminal writes the shop's journal ({held.by}): try again") from held
        finally:
            self.look_again()
        with contextlib.suppress(OSError):
            self._write_people()
        return fingerprint(key)

    def check(self, who: str, name: str = "Somebody") -> None:
        """Whether somebody could be added under these names, asked before their PIN is.

        Raises:
            InputFault: A name that cannot be, or that is taken.
        """
        self._check(who, name, "operator", first=False)

    def _check(self, who: str, name: str, role: Role, *, first: bool) -> None:
        """Refuse what could not be added, before a key is made that nobody would use."""
        from runner.shop.people import person  # noqa: PLC0415  # a board needs no validation library

        person(who, name, role, UnlockedKey.in_memory().public_line)
        if self.state is not None and who in self.state.people:
            raise fault(f"{who} is taken", "choose another short name; one is never given twice")
        if first and self.state is not None:
            raise fault("this shop has an owner", "people are added with the owner's PIN")
        if first and role != "owner":
            raise fault(
                f"the first person cannot be {role}", "add the owner first: their key signs the others'"
            )

    def _write_people(self) -> None:
        from runner.shop.people import People, person, write_people  # noqa: PLC0415  # as above

        if self.state is None:
            return
        active = {
            one.id: person(one.id, one.name, role_of(one.role), public_line(one.key))
            for one in self.state.people.values()
            if one.key is not None
        }
        write_people(people_file(self._folder), People.model_validate({"format": 1, "person": active}))


def _person(one: ShopPerson) -> Person:
    key = one.key
    return Person(one.id, one.name, one.role, fingerprint(key) if key else "")
