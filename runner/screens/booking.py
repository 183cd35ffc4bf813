"""Booking parts in: what they are, how many, and what the rules must know of them.

Owns the questions and their order; an empty answer means that nobody knows, which the rules then say. The
plan is computed by the procedure room.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar, TypeVar

from msgspec import structs
from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, Static

from runner.faults import Fault, InputFault, fault
from runner.plating.bake import strength_of_hardness
from runner.plating.families import IRONS
from runner.procedure.model import Procedure
from runner.procedure.plan import Order, compute
from runner.procedure.sheet import Plan
from runner.screens.field import Field
from runner.screens.form import Asking
from runner.screens.keys import Key, KeyLine
from runner.screens.modal import AskChoice
from runner.screens.plan import Booking, PlanScreen
from runner.screens.plan_lines import hung
from runner.shop.model import Shop
from runner.text import LONGEST, shown, unfit
from runner.units import Kind, read, write

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

Answer = TypeVar("Answer")


_UNKNOWN = "empty: not known"

FIELDS = (
    Asking("part", "Part", "such as stirrup irons, pair"),
    Asking("customer", "Customer's reference", "such as C-0417"),
    Asking("pieces", "Pieces on this rack", "such as 4"),
    Asking("area", "Plated area of one piece", "such as 3 dm²"),
    Asking("tips", "Bare rack tips, if any", "such as 0.5 dm²"),
    Asking("ratio", "Thinnest over mean, if gauged", "such as 0.6"),
    Asking("strength", "Steel's strength or hardness", f"such as HRC 38; {_UNKNOWN}"),
    Asking("hollow", "Closed hollows in it? y or n", _UNKNOWN),
    Asking("blind", "Blind holes or cups? y or n", _UNKNOWN),
)

_ANSWERS = {"y": True, "yes": True, "n": False, "no": False, "": None}


def fields_for(procedure: Procedure, shop: Shop) -> tuple[Asking, ...]:
    """The questions for a route: no strength where no metal of it is one that hydrogen may break."""
    asked = []
    for field in FIELDS:
        if field.name != "strength":
            asked.append(field)
        elif not IRONS.isdisjoint((*procedure.basis, *procedure.assembly)):
            known = procedure.strength_mpa
            said = (
                f"empty: {write(known, Kind.STRENGTH, shop.units)}, as the route" if known else field.example
            )
            asked.append(field._replace(example=said))
    return tuple(asked)


class BookingScreen(Screen[None]):
    """What the parts are; enter goes on to the plan.

    Args:
        procedure: The chosen one.
        shop: Where it is walked.
    """

    app: TankwalkApp  # narrowed: this screen belongs to one app
    DEFAULT_CSS = """
    BookingScreen Vertical { overflow-y: auto; }
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
        self._fields = fields_for(procedure, shop)

    def compose(self) -> ComposeResult:
        title = f" {shown(self._procedure.title, 60)}, revision {shown(self._procedure.revision, 12)}"
        yield Static(Content.styled(title, "bold"))
        yield Static("─" * 400, classes="rule")
        with Vertical():
            for field in self._fields:
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
        names = [field.name for field in self._fields]
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
            self._to_first(wrong)
            return
        self._to_plan(plan, booking)

    def _to_first(self, wrong: InputFault) -> None:
        """Into the first field that something is wrong with."""
        places = {fault.file for fault in wrong.faults}
        if name := next((field.name for field in self._fields if field.asks in places), None):
            self.query_one(f"#{name}", Input).focus()

    @work
    async def _to_plan(self, plan: Plan, booking: Booking) -> None:
        """The plan, for the one metal that these parts are of: a route may be for any of several."""
        if len(self._procedure.basis) > 1:
            chosen = await self.app.push_screen_wait(
                AskChoice("Which metal are the parts of?", self._procedure.basis)
            )
            if chosen is None:
                return
            plan = structs.replace(plan, basis=(self._procedure.basis[chosen],))
        self.app.push_screen(PlanScreen(self._procedure, self._shop, plan, booking))

    def _booking(self) -> Booking:
        said = {field.name: self.query_one(f"#{field.name}", Input).value.strip() for field in self._fields}
        faults: list[Fault] = []

        def answer(name: str, read_it: Callable[[str], Answer], empty: Answer) -> Answer:
            try:
                return read_it(said[name]) if said.get(name) else empty
            except InputFault as wrong:
                faults.extend(one.at(_asks(name)) for one in wrong.faults)
                return empty

        faults.extend(
            Fault(reason, "write it shorter and in plain characters", _asks(name))
            for name in ("part", "customer")
            if (reason := unfit(said[name]))
        )
        if not said["part"]:
            faults.append(Fault("nothing was written", "say what the parts are", _asks("part")))
        if not said["pieces"].isdecimal():
            faults.append(Fault("no count of pieces", "write a number, such as 4", _asks("pieces")))
        ratio = answer("ratio", _ratio, None)
        area, tips = answer("area", _area, 0.0), answer("tips", _area, 0.0)
        strength = answer("strength", _strength, None)
        hollow, blind = answer("hollow", _yes_or_no, None), answer("blind", _yes_or_no, None)
        if not said["area"] or (not faults and area <= 0):
            faults.append(Fault("no area", "write the plated area of one piece", _asks("area")))
        if faults:
            raise InputFault(*faults)
        order = Order(
            area, int(said["pieces"]), tips, ratio=ratio, strength_mpa=strength, hollow=hollow, blind=blind
        )
        return Booking(said["part"], said["customer"], order)


def _asks(name: str) -> str:
    return next(field.asks for field in FIELDS if field.name == name)


def _area(text: str) -> float:
    return read(text, Kind.AREA)


def _strength(text: str) -> float | None:
    return read(text, Kind.STRENGTH, strength_of_hardness)


def _ratio(text: str) -> float | None:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise fault("no ratio", "write one such as 0.6, or nothing") from None


def _yes_or_no(text: str) -> bool | None:
    if text.lower() not in _ANSWERS:
        raise fault("neither yes nor no", "write y or n, or nothing where it is not known")
    return _ANSWERS[text.lower()]
