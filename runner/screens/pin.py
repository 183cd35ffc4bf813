"""Who signs, and with which PIN.

Owns the asking. The unlocking itself is the record room's; it is slow on purpose and runs beside the screen.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from runner.batch.terms import Person
from runner.faults import InputFault
from runner.record.keys import check_pin
from runner.record.session import NotUnlocked, Session
from runner.screens.field import Field
from runner.screens.keys import busy
from runner.screens.modal import told
from runner.shop.rights import Right, may
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

LONGEST_PIN = 32

TYPED = r"[\d-]*"
"""What the field takes: digits, and the dash that tells a batch's label from them. No PIN has one."""


class PinField(Field):
    """A field for digits, which leaves letters to the window around it."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Whether a key is one to type here."""
        return super().check_consume_key(key, character) and not (character or "").isalpha()


class AskPin(ModalScreen[Session | None]):
    """A person and their PIN; gives back the unlocked session, or None.

    Args:
        why: What it is for, as it will stand in the record.
        right: What their role must allow.
        first: Id of the person offered first.
        beside: What else there is to know before escape is pressed; empty for nothing.
    """

    app: TankwalkApp  # narrowed: this screen belongs to one app
    FOOT: ClassVar[str] = "enter: sign   up, down: another person   escape: back"
    BINDINGS: ClassVar[list[BindingType]] = [
        ("escape", "dismiss(None)", "back"),
        ("up", "other(-1)", "other person"),
        ("down", "other(1)", "other person"),
    ]

    def __init__(self, why: str, right: Right, first: str = "", beside: str = "") -> None:
        super().__init__()
        self._why, self._right, self._first, self._beside = why, right, first, beside
        self._people: list[Person] = []
        self._at = 0

    def compose(self) -> ComposeResult:
        with Vertical():
            yield Static(Content.styled(shown(self._why), "bold"))
            yield Static(id="who")
            yield PinField(password=True, max_length=LONGEST_PIN, placeholder="PIN", restrict=TYPED)
            yield Static(id="said")
            yield Static(Content(shown(self._beside)), classes="quiet" if self._beside else "hidden")
            yield Static(Content(self.FOOT), classes="quiet")

    def on_mount(self) -> None:
        """Offer those who may, the one who has the batch in hand first."""
        self._people = self.people()
        ids = [person.id for person in self._people]
        self._at = ids.index(self._first) if self._first in ids else 0
        self._show()

    def people(self) -> list[Person]:
        """Who may."""
        return [person for person in self.app.floor.roll.people() if may(person.role, self._right)]

    async def unlocked(self, who: str, pin: str) -> Session:
        """A person's session.

        Raises:
            NotUnlocked: And why.
        """
        return await self.app.unlock(who, pin)

    def _show(self) -> None:
        if not self._people:
            words = f"nobody here may {self._right.replace('_', ' ')}"
        else:
            person = self._people[self._at]
            more = f"   ({self._at + 1} of {len(self._people)})" if len(self._people) > 1 else ""
            words = f"{shown(person.name, 40)}, {person.role}{more}"
        self.query_one("#who", Static).update(Content(words))

    def action_other(self, by: int) -> None:
        """Offer another person."""
        if self._people:
            self._at = (self._at + by) % len(self._people)
            self.query_one(Input).value = ""
            self._show()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Try the PIN."""
        pin, event.input.value = event.value, ""
        if pin and not pin.isdecimal():  # tried, it would count as a wrong PIN
            self._say("that was a batch's label, or no digit: a PIN is digits alone")
        elif self._people and pin and not busy(self):
            self._say("one moment…")
            self._unlock(self._people[self._at], pin)

    @work
    async def _unlock(self, person: Person, pin: str) -> None:
        try:
            session = await self.unlocked(person.id, pin)
        except NotUnlocked as error:
            self._say(str(error))
            return
        self.dismiss(session)

    def _say(self, words: str) -> None:
        self.query_one("#said", Static).update(Content.styled(shown(words), "$warning"))


class AskHand(AskPin):
    """Who has a batch in hand: a PIN, or on purpose none where a rack cannot wait for one.

    Args:
        batch: Which.
        had: Who had it last.

    Attributes:
        unsigned: Whether the walk is to go on without a PIN.
    """

    FOOT: ClassVar[str] = "enter: sign   up, down: another person   f: unsigned   escape: back"
    # Before the field, which takes a letter and lets it fall.
    BINDINGS: ClassVar[list[BindingType]] = [Binding("f", "go_unsigned", "facts unsigned", priority=True)]

    def __init__(self, batch: str, had: Person) -> None:
        beside = f"With f facts stand unsigned, and in the name of {had.name}."
        super().__init__(f"Take batch {batch} in hand", "walk", had.id, beside)
        self.unsigned = False

    def action_go_unsigned(self) -> None:
        """A rack over its time waits for no PIN and no dry glove."""
        self.unsigned = True
        self.dismiss(None)


class AskNewPin(ModalScreen[str | None]):
    """A new PIN, typed twice.

    Args:
        title: Whose.
    """

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "dismiss(None)", "back")]

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title = title
        self._once: str | None = None

    def compose(self) -> ComposeResult:
        with Vertical():
            yield Static(Content.styled(shown(self._title), "bold"))
            yield Static(Content("at least six digits"), id="said")
            yield Field(password=True, max_length=LONGEST_PIN, placeholder="PIN", restrict=r"\d*")
            yield Static(Content("enter: on   escape: back"), classes="quiet")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """First time, then the same again."""
        pin, event.input.value = event.value, ""
        said = self.query_one("#said", Static)
        if self._once is None:
            try:
                check_pin(pin)
            except InputFault as wrong:
                said.update(Content.styled(told(wrong), "$warning"))
                return
            self._once = pin
            said.update(Content("the same again"))
        elif self._once == pin:
            self.dismiss(pin)
        else:
            self._once = None
            said.update(Content("the two differ; start again"))
