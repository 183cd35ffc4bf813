"""The first start: nobody works here yet, so the owner is made first.

Owns that one page. The key and the journal line are the record room's.
"""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, Static

from runner.faults import InputFault
from runner.record.roll import CannotAdd
from runner.screens.field import Field
from runner.screens.form import Asking
from runner.screens.keys import Key, KeyLine, busy
from runner.text import LONGEST, shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

FIELDS = (
    Asking("id", "Short name, as records write it", "olive"),
    Asking("name", "Full name, as it is printed", "Olive Demo"),
    Asking("pin", "PIN, at least six digits", ""),
    Asking("again", "The PIN again", ""),
)

WORDS = (
    "Nobody works in this shop yet. The first person is its owner: their key signs everybody else's.",
    "The key is kept on this machine, under the PIN.",
    "A PIN guards against a colleague at the terminal, not against somebody who copies the file.",
    "Keep the machine's own accounts apart.",
)


class FirstStartScreen(Screen[None]):
    """Make the owner."""

    app: TankwalkApp  # narrowed: this screen belongs to one app
    DEFAULT_CSS = """
    FirstStartScreen Horizontal { height: 1; }
    FirstStartScreen Horizontal Static { width: 36; }
    FirstStartScreen Input { width: 40; }
    FirstStartScreen #said { height: auto; }
    FirstStartScreen .told { padding: 0 1; height: auto; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "later"),
        Binding("up", "app.focus_previous", "up"),
        Binding("down", "app.focus_next", "down"),
    ]

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(f" {shown(self.app.floor.title, 60)}: first start", "bold"))
        yield Static("─" * 400, classes="rule")
        for words in WORDS:
            yield Static(Content(words), classes="told")
        yield Static("")
        for name, asks, example in FIELDS:
            secret = name in {"pin", "again"}
            with Horizontal():
                yield Static(Content(f" {asks}"))
                yield Field(
                    id=name,
                    placeholder=example,
                    password=secret,
                    max_length=LONGEST,
                    restrict=r"\d*" if secret else None,
                )
        yield Static(id="said")
        yield KeyLine()

    def on_mount(self) -> None:
        """Start in the first field."""
        self.query_one(KeyLine).say((Key("enter", "next"), Key("↑↓", "fields"), Key("esc", "later")))
        self.query_one("#id", Input).focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """The next field; after the last one the owner is made."""
        names = [name for name, _, _ in FIELDS]
        at = names.index(event.input.id or names[0])
        if at + 1 < len(names):
            self.query_one(f"#{names[at + 1]}", Input).focus()
        elif not busy(self):
            self._make()

    @work
    async def _make(self) -> None:
        said = {name: self.query_one(f"#{name}", Input).value.strip() for name, _, _ in FIELDS}
        if said["pin"] != said["again"]:
            self._say("the two PINs differ; type both again", again="pin")
            return
        try:
            fingerprint = await asyncio.to_thread(
                self.app.floor.roll.add, said["id"], said["name"], "owner", said["pin"], None, self.app.now()
            )
        except InputFault as wrong:
            told = "\n ".join(f"{fault.message}; {fault.remedy}" for fault in wrong.faults)
            self._say(told, again="pin" if "PIN" in told else "id")
            return
        except CannotAdd as error:
            self._say(str(error))
            return
        self.app.notice = f" Owner's key {fingerprint}\n Write it down on paper: it proves all records."
        self.app.to_board()

    def action_leave(self) -> None:
        """Look around first; a batch needs somebody to sign."""
        self.app.to_board()

    def _say(self, words: str, again: str = "") -> None:
        """What is wrong; the field to mend has the cursor, and a PIN that did not do is typed anew."""
        if again == "pin":
            for name in ("pin", "again"):
                self.query_one(f"#{name}", Input).value = ""
        if again:
            self.query_one(f"#{again}", Input).focus()
        self.query_one("#said", Static).update(Content.styled(f"\n {shown(words, 900)}", "$warning"))
