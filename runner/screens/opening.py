"""Opening a batch: which procedure, which parts, and the plan before it starts.

Owns the questions of booking in and their order. The plan is computed by the procedure room, the opening
written by the record room.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, Static

from runner.faults import Fault, InputFault
from runner.procedure.model import Procedure
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.procedure.sheet import Plan
from runner.screens.field import Field
from runner.screens.help import HelpScreen
from runner.screens.keys import Key, KeyLine
from runner.screens.modal import AskChoice
from runner.screens.plan import Booking, PlanScreen
from runner.screens.plan_lines import hung
from runner.shop.finding import procedure_files
from runner.shop.model import Shop
from runner.shop.reading import load_shop
from runner.text import LONGEST, shown, unfit
from runner.units import Kind, read

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

LISTED = 9
"""Procedures on one page, each with its digit."""


@dataclass(frozen=True, slots=True)
class _Field:
    """One field of the form: its name, what it asks, an example."""

    name: str
    asks: str
    example: str


FIELDS = (
    _Field("part", "Part", "stirrup irons, pair"),
    _Field("customer", "Customer's reference", "C-0417"),
    _Field("pieces", "Pieces on this rack", "4"),
    _Field("area", "Plated area of one piece", "3 dm²"),
    _Field("tips", "Bare rack tips, if any", "0.5 dm²"),
    _Field("ratio", "Thinnest over mean, if gauged", "0.6"),
)


class OpeningScreen(Screen[None]):
    """Choose a procedure."""

    app: TankwalkApp  # narrowed: this screen belongs to one app
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,b", "app.to_board", "board"),
        Binding("down,right,space", "page(1)", "more"),
        Binding("up,left", "page(-1)", "back"),
        Binding("question_mark", "help", "help"),
    ]
    KEYS = (Key("1-9", "choose"), Key("space", "more"), Key("b", "board"), Key("?", "help"))

    def __init__(self) -> None:
        super().__init__()
        self._files: list[Path] = []
        self._page = 0
        self._shop: Shop | None = None

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" Open a batch: which procedure?", "bold"))
        yield Static("─" * 400, classes="rule")
        yield Static(id="listed")
        yield Static(id="said")
        yield KeyLine()

    def on_mount(self) -> None:
        """List the shop's procedures."""
        self.query_one(KeyLine).say(self.KEYS)
        try:
            self._shop = load_shop(self.app.floor.folder)
        except InputFault as wrong:
            self._say(wrong.faults)
            return
        self._files = procedure_files(self.app.floor.folder)
        self._show()

    def _show(self) -> None:
        page = self._files[self._page * LISTED : (self._page + 1) * LISTED]
        lines = [
            Content.assemble(" ", (f" {number} ", "reverse"), f" {shown(_title(file), 70)}")
            for number, file in enumerate(page, start=1)
        ]
        pages = -(-len(self._files) // LISTED)
        lines.append(Content.styled(f"\n page {self._page + 1} of {max(1, pages)}", "$quiet"))
        self.query_one("#listed", Static).update(Content("\n").join(lines))

    def action_page(self, by: int) -> None:
        """Another page."""
        pages = max(1, -(-len(self._files) // LISTED))
        self._page = (self._page + by) % pages
        self._show()

    def on_key(self, event: events.Key) -> None:
        """A digit chooses."""
        page = self._files[self._page * LISTED : (self._page + 1) * LISTED]
        digit = event.character or ""
        if digit.isdecimal() and 1 <= int(digit) <= len(page) and self._shop is not None:
            event.stop()
            try:
                procedure = load_procedure(page[int(digit) - 1], self._shop)
            except InputFault as wrong:
                self._say(wrong.faults)
                return
            self.app.push_screen(BookingScreen(procedure, self._shop))

    def _say(self, faults: tuple[Fault, ...]) -> None:
        words = "\n".join(shown(str(fault)) for fault in faults[:6])
        self.query_one("#said", Static).update(Content.styled(f"\n{words}", "$warning"))

    def action_help(self) -> None:
        """The keys."""
        self.app.push_screen(HelpScreen("Open a batch", self.KEYS, "A digit chooses the procedure."))


def _title(file: Path) -> str:
    """What a file calls itself, without reading it whole; its name where it says nothing."""
    try:
        with file.open(encoding="utf-8", errors="replace") as lines:
            for _, line in zip(range(40), lines, strict=False):
                if line.startswith("title"):
                    return f"{line.partition('=')[2].strip().strip(chr(34))}   ({file.name})"
    except OSError:
        pass
    return file.name


class BookingScreen(Screen[None]):
    """What the parts are; enter goes on to the plan.

    Args:
        procedure: The chosen one.
        shop: Where it is walked.
    """

    app: TankwalkApp  # narrowed: this screen belongs to one app
    DEFAULT_CSS = """
    BookingScreen Horizontal { height: 1; }
    BookingScreen Horizontal Static { width: 34; }
    BookingScreen Input { width: 40; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "app.pop_screen", "back"),
        Binding("up", "app.focus_previous", "up"),
        Binding("down", "app.focus_next", "down"),
    ]

    def __init__(self, procedure: Procedure, shop: Shop) -> None:
        super().__init__()
        self._procedure, self._shop = procedure, shop

    def compose(self) -> ComposeResult:
        title = f" {shown(self._procedure.title, 60)}, revision {shown(self._procedure.revision, 12)}"
        yield Static(Content.styled(title, "bold"))
        yield Static("─" * 400, classes="rule")
        with Vertical():
            for field in FIELDS:
                with Horizontal():
                    yield Static(Content(f" {field.asks}"))
                    yield Field(id=field.name, placeholder=field.example, max_length=LONGEST)
        yield Static(id="said")
        yield KeyLine()

    def on_mount(self) -> None:
        """Start in the first field."""
        self.query_one(KeyLine).say(
            (Key("enter", "next, then the plan"), Key("↑↓", "fields"), Key("esc", "back"))
        )
        self.query_one("#part", Input).focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """The next field, or after the last one the plan."""
        names = [field.name for field in FIELDS]
        at = names.index(event.input.id or names[0])
        if at + 1 < len(names):
            self.query_one(f"#{names[at + 1]}", Input).focus()
            return
        try:
            booking = self._booking()
            plan = compute(self._procedure, self._shop, booking.order)
        except InputFault as wrong:
            told = [hung(str(fault), 1, "$warning") for fault in wrong.faults]
            self.query_one("#said", Static).update(Content("\n").join([Content(""), *told]))
            return
        self._to_plan(plan, booking)

    @work
    async def _to_plan(self, plan: Plan, booking: Booking) -> None:
        """The plan, for the one metal that these parts are of: a route may be for any of several."""
        if len(self._procedure.basis) > 1:
            chosen = await self.app.push_screen_wait(
                AskChoice("Which metal are the parts of?", self._procedure.basis)
            )
            if chosen is None:
                return
            plan = replace(plan, basis=(self._procedure.basis[chosen],))
        self.app.push_screen(PlanScreen(self._procedure, self._shop, plan, booking))

    def _booking(self) -> Booking:
        said = {field.name: self.query_one(f"#{field.name}", Input).value.strip() for field in FIELDS}
        faults: list[Fault] = []

        def quantity(name: str, kind: Kind, default: float | None) -> float:
            try:
                return read(said[name], kind) if said[name] or default is None else default
            except InputFault as wrong:
                faults.extend(fault.at(_asks(name)) for fault in wrong.faults)
                return 0.0

        faults.extend(
            Fault(reason, "write it shorter and in plain characters", _asks(name))
            for name in ("part", "customer")
            if (reason := unfit(said[name]))
        )
        if not said["part"]:
            faults.append(Fault("nothing was written", "say what the parts are", _asks("part")))
        if not said["pieces"].isdecimal():
            faults.append(Fault("no count of pieces", "write a number, such as 4", _asks("pieces")))
        ratio = None
        if said["ratio"]:
            try:
                ratio = float(said["ratio"].replace(",", "."))
            except ValueError:
                faults.append(Fault("no ratio", "write one such as 0.6, or nothing", _asks("ratio")))
        area, tips = quantity("area", Kind.AREA, None), quantity("tips", Kind.AREA, 0.0)
        if not faults and area <= 0:
            faults.append(Fault("no area", "write the plated area of one piece", _asks("area")))
        if faults:
            raise InputFault(*faults)
        return Booking(said["part"], said["customer"], Order(area, int(said["pieces"]), tips, 0.0, ratio))


def _asks(name: str) -> str:
    return next(field.asks for field in FIELDS if field.name == name)
