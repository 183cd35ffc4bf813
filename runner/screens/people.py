"""Who works here: names, roles, fingerprints of keys, and adding somebody.

Owns the list and the questions. A person is added with the owner's PIN; the line in the shop journal is
the record room's.
"""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar, get_args

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from runner.faults import InputFault
from runner.record.roll import CannotAdd
from runner.screens.help import HelpScreen
from runner.screens.keys import Key, KeyLine, busy
from runner.screens.modal import AskChoice, AskText
from runner.screens.pin import AskNewPin, AskPin
from runner.shop.rights import Role
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

KEYS = (Key("a", "add", "add a person; the owner signs with their PIN"), Key("b", "board"), Key("?", "help"))


class PeopleScreen(Screen[None]):
    """Everybody, with their keys."""

    app: TankwalkApp  # narrowed: this screen belongs to one app
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "add"),
        Binding("b,escape", "app.to_board", "board"),
        Binding("question_mark", "help", "help"),
    ]

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" People", "bold"))
        yield Static("─" * 400, classes="rule")
        yield Static(id="people")
        yield KeyLine()

    def on_mount(self) -> None:
        """List them."""
        self.query_one(KeyLine).say(KEYS)
        self._show()

    def _show(self) -> None:
        lines = [
            Content.assemble(
                (f" {shown(person.id, 16):<16} ", "bold"),
                f"{shown(person.name, 28):<28} {person.role:<11}",
                (f"\n{'':<18}{person.key}", "$quiet"),
            )
            for person in self.app.floor.roll.people()
        ]
        self.query_one("#people", Static).update(Content("\n").join(lines or [Content(" nobody yet")]))

    def action_add(self) -> None:
        """Ask who, in which role, with which PIN; then for the owner's PIN."""
        if not busy(self):
            self._add()

    @work
    async def _add(self) -> None:
        ask = self.app.push_screen_wait
        who = await ask(AskText("Short name, as records write it", "small letters, digits, hyphens"))
        name = await ask(AskText("Full name, as it is printed")) if who else None
        roles = get_args(Role)
        role = await ask(AskChoice("Role", roles)) if name else None
        pin = await ask(AskNewPin(f"{name}: a new PIN")) if role is not None else None
        if who is None or name is None or role is None or pin is None:
            return
        owner = await ask(AskPin(f"The owner adds {who} as {roles[role]}", "manage_people"))
        if owner is None:
            return
        try:
            await asyncio.to_thread(
                self.app.floor.roll.add, who, name, roles[role], pin, owner, self.app.now()
            )
        except InputFault as wrong:
            self.notify(str(wrong), severity="warning", markup=False, timeout=8)
        except CannotAdd as error:
            self.notify(str(error), severity="error", markup=False, timeout=8)
        self._show()

    def action_help(self) -> None:
        """The keys."""
        about = "Each person signs with a key of their own; what a role may do stands in the handbook."
        self.app.push_screen(HelpScreen("People", KEYS, about))
