"""Who works here: names, roles, fingerprints of keys; adding somebody, suspending them, a new key for them.

Owns the list and the questions. Each change is signed with the owner's PIN; the line in the shop journal is
the record room's, and what was signed before it still proves.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar, get_args

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from runner.faults import InputFault
from runner.record.roll import CannotAdd
from runner.record.session import Session
from runner.record.shop_state import ShopPerson
from runner.record.sshsig import fingerprint
from runner.screens.keys import Key, KeyLine, busy
from runner.screens.modal import AskChoice, AskText, AskTyped
from runner.screens.pin import AskNewPin, AskPin
from runner.shop.rights import Role
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

KEYS = (
    Key("a", "add", "add a person; the owner signs with their PIN", action="people.add"),
    Key(
        "s", "suspend", "they work here no more: their key signs nothing from now on", action="people.suspend"
    ),
    Key("k", "new key", "PIN forgotten, key lost or copied, or somebody comes back", action="people.new-key"),
    Key("p", "procedures", "which revisions are approved, and approving one", action="people.procedures"),
    Key("b", "board", action="people.board"),
    Key("?", "help"),
    Key("↑↓", "go through"),
)
MAY: dict[Role, str] = {
    "operator": "walks batches and signs their steps",
    "trainee": "reads and learns; signs nothing",
    "chargehand": "an operator who also settles deviations, overrides, approves and releases",
    "auditor": "reads; signs nothing",
    "owner": "a chargehand who also adds people",
}
"""What each role is for, beside its digit."""
ABOUT = (
    "Each person signs with a key of their own, kept on the machine where it was made. What was signed "
    "before a key ended still proves. `tankwalk people change` also changes a name or a role."
)


class PeopleScreen(Screen[None]):
    """Everybody, with their keys."""

    app: TankwalkApp  # narrowed: this screen belongs to one app
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "add", id="people.add"),
        Binding("s", "suspend", "suspend", id="people.suspend"),
        Binding("k", "new_key", "new key", id="people.new-key"),
        Binding("p", "procedures", "procedures", id="people.procedures"),
        Binding("up", "move(-1)", "up"),
        Binding("down", "move(1)", "down"),
        Binding("b", "app.to_board", "board", id="people.board"),
        Binding("escape", "app.to_board", "board"),
        Binding("question_mark", "help", "help"),
    ]

    DEFAULT_CSS = """
    PeopleScreen VerticalScroll { height: 1fr; }
    PeopleScreen VerticalScroll Static { height: auto; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._at = 0

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" People", "bold"))
        yield Static("─" * 400, classes="rule")
        yield VerticalScroll(can_focus=False)
        yield KeyLine()

    def on_mount(self) -> None:
        """List them."""
        self.query_one(KeyLine).say(KEYS)
        self._show()

    @property
    def _everybody(self) -> list[ShopPerson]:
        state = self.app.floor.roll.state
        return list(state.people.values()) if state else []

    def _show(self) -> None:
        everybody = self._everybody
        self._at = max(0, min(self._at, len(everybody) - 1))
        place = self.query_one(VerticalScroll)
        place.remove_children()
        rows = [Static(_row(one, under_bar=at == self._at)) for at, one in enumerate(everybody)]
        place.mount(*(rows or [Static(Content(" nobody yet"))]))
        if rows:
            self.call_after_refresh(rows[self._at].scroll_visible, animate=False)

    def action_move(self, by: int) -> None:
        """Another person."""
        self._at += by
        self._show()

    def action_add(self) -> None:
        """Ask who, in which role, with which PIN; then for the owner's PIN."""
        if not busy(self):
            self._add()

    @work
    async def _add(self) -> None:
        ask, check = self.app.push_screen_wait, self.app.floor.roll.check
        who = await ask(
            AskText("Short name, as records write it", "small letters, digits, hyphens", check=check)
        )
        name = (
            await ask(AskText("Full name, as it is printed", check=lambda said: check(who, said)))
            if who
            else None
        )
        roles = get_args(Role)
        role = await ask(AskChoice("Role", tuple(f"{role}: {MAY[role]}" for role in roles))) if name else None
        pin = await ask(AskNewPin(f"{name}: a new PIN")) if role is not None else None
        if who is None or name is None or role is None or pin is None:
            return
        await self._signed(
            f"The owner adds {who} as {roles[role]}",
            lambda owner: self.app.floor.roll.add(who, name, roles[role], pin, owner, self.app.now()),
        )

    def action_suspend(self) -> None:
        """Ask the owner for it."""
        if not busy(self) and self._everybody:
            self._suspend(self._everybody[self._at])

    @work
    async def _suspend(self, one: ShopPerson) -> None:
        if not one.active:
            self.notify(f"{one.id} works here no more already", markup=False)
            return
        asks = f"{one.name} works here no more: their key signs nothing from now on."
        if await self.app.push_screen_wait(AskTyped(asks, one.id)) is not None:
            await self._signed(
                f"The owner suspends {one.id}",
                lambda owner: self.app.floor.roll.change(one.id, owner, self.app.now(), active=False),
            )

    def action_new_key(self) -> None:
        """Ask for the new PIN, then for the owner's."""
        if not busy(self) and self._everybody:
            self._new_key(self._everybody[self._at])

    @work
    async def _new_key(self, one: ShopPerson) -> None:
        pin = await self.app.push_screen_wait(AskNewPin(f"{one.name}: a new key under a new PIN"))
        if pin is not None:
            await self._signed(
                f"The owner gives {one.id} a new key",
                lambda owner: self.app.floor.roll.change(one.id, owner, self.app.now(), pin=pin),
            )

    async def _signed(self, why: str, change: Callable[[Session], str]) -> None:
        """Have the owner sign a change, and say why where it cannot be."""
        owner = await self.app.push_screen_wait(AskPin(why, "manage_people"))
        if owner is None:
            return
        try:
            await asyncio.to_thread(change, owner)
        except InputFault as wrong:
            self.notify(str(wrong), severity="warning", markup=False, timeout=8)
        except CannotAdd as error:
            self.notify(str(error), severity="error", markup=False, timeout=8)
        self._show()

    def action_procedures(self) -> None:
        """Which revisions are approved."""
        from runner.screens.approvals import ApprovalsScreen  # noqa: PLC0415  # loads validation only here

        self.app.push_screen(ApprovalsScreen())

    def action_help(self) -> None:
        """The keys."""
        self.app.show_help("People", KEYS, ABOUT)


def _row(one: ShopPerson, *, under_bar: bool) -> Content:
    """Name and role, and below them the key that counts."""
    key = fingerprint(one.key) if one.key else "works here no more"
    style = "reverse bold" if under_bar else "bold"
    return Content.assemble(
        (f"{'▸' if under_bar else ' '}{shown(one.id, 16):<16} ", style),
        f"{shown(one.name, 28):<28} {one.role:<11}",
        (f"\n{'':<18}{key}", "$quiet"),
    )
