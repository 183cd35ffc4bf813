"""The form that asks for records: a field for each question, all of them open at first.

Owns that one page. Gives back what was asked, or None.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, Static

from runner.faults import InputFault
from runner.screens.field import Field
from runner.screens.keys import Key, KeyLine
from runner.screens.plan_lines import hung
from runner.screens.records_asked import FILTERS, Asked
from runner.text import LONGEST

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp


class FindScreen(Screen[Asked | None]):
    """Which records.

    Args:
        asked: What stands in the fields at first.
    """

    app: TankwalkApp  # narrowed: this screen belongs to one app
    DEFAULT_CSS = """
    FindScreen Horizontal { height: 1; }
    FindScreen Horizontal Static { width: 40; }
    FindScreen Input { width: 38; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss(None)", "back"),
        Binding("up", "app.focus_previous", "up"),
        Binding("down", "app.focus_next", "down"),
    ]

    def __init__(self, asked: Asked) -> None:
        super().__init__()
        self._asked = asked

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" Which records? What is left empty is left open.", "bold"))
        yield Static("─" * 400, classes="rule")
        with Vertical():
            for one in FILTERS:
                with Horizontal():
                    yield Static(Content(f" {one.asks}"))
                    yield Field(
                        self._asked.typed.get(one.name, ""),
                        id=one.name,
                        placeholder=one.example,
                        max_length=LONGEST,
                    )
            yield Static(id="said")
        yield KeyLine()

    def on_mount(self) -> None:
        """Start in the first field."""
        self.query_one(KeyLine).say((Key("enter", "list them"), Key("↑↓", "fields"), Key("esc", "back")))
        self.query_one(f"#{FILTERS[0].name}", Input).focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Give the question back, if it is one."""
        del event
        typed = {one.name: self.query_one(f"#{one.name}", Input).value.strip() for one in FILTERS}
        asked = Asked(self._asked.which, {name: text for name, text in typed.items() if text})
        try:
            asked.wanted("")
        except InputFault as wrong:
            told = [hung(str(fault), 1, "$warning") for fault in wrong.faults]
            self.query_one("#said", Static).update(Content("\n").join([Content(""), *told]))
            return
        self.dismiss(asked)
