"""The plan before it starts, with what the rules of the trade have against the route.

Owns that one page and the opening of the batch from it. The plan and the findings are the procedure room's;
what bars a route and who may override it is decided in the batch room.
"""

from __future__ import annotations

import asyncio
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from runner.batch.intents import Override
from runner.batch.state import BARRING
from runner.batch.terms import Standing
from runner.faults import InputFault
from runner.procedure.model import Procedure
from runner.procedure.plan import Order
from runner.procedure.reading import load_procedure
from runner.procedure.rules.check import check_procedure
from runner.procedure.rules.rule import BatchFacts, Finding
from runner.procedure.sheet import Plan
from runner.procedure.surface_explain import with_surfaces
from runner.procedure.surface_walk import bases_of, follow
from runner.record.floor import CannotOpen
from runner.record.session import Session
from runner.screens.keys import Key, KeyLine, busy
from runner.screens.modal import AskText
from runner.screens.pin import AskPin
from runner.screens.plan_lines import hung, plan_lines
from runner.shop.finding import procedure_files
from runner.shop.model import Shop
from runner.text import LONGEST, shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp


@dataclass(frozen=True, slots=True)
class Booking:
    """What booking in found."""

    part: str
    customer: str
    order: Order


KEYS = (Key("↑↓", "read on"), Key("esc", "back"), Key("?", "help"))
OPENS = "open the batch; where a rule bars it, a reason and a PIN first"
ABOUT = (
    "What the rules of the trade have against this route for these parts, the worst first, and below it the "
    "sheet. Figures in brackets are means: no thickness ratio is known there, so no minimum is promised. "
    "Nothing is written before the batch is opened."
)


def against(
    folder: Path, shop: Shop, procedure: Procedure, plan: Plan, order: Order
) -> tuple[tuple[Finding, ...], Plan]:
    """What the rules have against a route for an order, among the other routes of the shop.

    A file of the shop that does not hold to the format shares nothing that could be asked about.

    Returns:
        The findings, and the plan with what the surface is after each step.
    """
    others = []
    for file in procedure_files(folder):
        try:
            other = load_procedure(file, shop)
        except InputFault:
            continue
        if other.source.sha256 != procedure.source.sha256:
            others.append(other)
    facts = BatchFacts(
        order.piece_dm2,
        order.per_rack or order.pieces,
        tips_dm2=order.tips_dm2,
        thieves_dm2=order.thieves_dm2,
        hollow=order.hollow,
        blind=order.blind,
    )
    # A route may be for any of several metals; these parts are of the one that booking chose.
    route = procedure.model_copy(update={"basis": plan.basis}) if procedure.basis else procedure
    findings = check_procedure(route, shop, facts, order.strength_mpa, others)
    basis = plan.basis[0] if plan.basis else bases_of(procedure)[0]
    return findings, with_surfaces(plan, follow(procedure, shop, basis, facts.carried_l_h))


def bars(finding: Finding) -> bool:
    """Whether the walk does not begin before somebody who may has overridden it."""
    return str(finding.severity) in BARRING


def never(findings: tuple[Finding, ...]) -> Finding | None:
    """The first finding that bars the route and that nobody may override: the route must change."""
    return next((one for one in findings if bars(one) and not one.overridable), None)


class PlanScreen(Screen[None]):
    """The plan and the findings; space opens the batch, by way of the chargehand where a rule bars it.

    Args:
        procedure: What is walked.
        shop: Where.
        plan: Computed for the booking.
        booking: Which parts.
    """

    app: TankwalkApp  # narrowed: this screen belongs to one app
    DEFAULT_CSS = """
    PlanScreen #head { height: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    PlanScreen VerticalScroll { height: 1fr; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "open", "open it"),
        Binding("escape", "app.pop_screen", "back"),
        Binding("question_mark", "help", "help"),
    ]

    def __init__(self, procedure: Procedure, shop: Shop, plan: Plan, booking: Booking) -> None:
        super().__init__()
        self._procedure, self._shop, self._plan, self._booking = procedure, shop, plan, booking
        self._findings: tuple[Finding, ...] | None = None

    def compose(self) -> ComposeResult:
        head = (
            f" The plan: {shown(self._booking.part, 30)} ×{self._plan.pieces}, {shown(self._plan.title, 50)}"
        )
        yield Static(Content.styled(head, "bold"), id="head")
        yield Static("─" * 400, classes="rule")
        with VerticalScroll():
            yield Static(Content.styled(" the rules of the trade are being asked…", "$quiet"), id="findings")
            yield Static(plan_lines(self._plan), id="plan")
        yield KeyLine()

    def on_mount(self) -> None:
        """Focus the sheet, so that the arrows scroll it, and ask the rules beside the screen."""
        self._say_keys("open the batch")
        self.query_one(VerticalScroll).focus()
        self._ask_rules()

    def _say_keys(self, opens: str) -> None:
        first = (Key("space", opens),) if opens else ()
        self.query_one(KeyLine).say((*first, *KEYS))

    def action_help(self) -> None:
        """The keys."""
        self.app.show_help("The plan", (Key("space", OPENS), *KEYS), ABOUT)

    @work
    async def _ask_rules(self) -> None:
        findings, self._plan = await asyncio.to_thread(
            against, self.app.floor.folder, self._shop, self._procedure, self._plan, self._booking.order
        )
        self._findings = findings
        if self.is_attached:
            self.query_one("#findings", Static).update(_lines(findings))
            if never(findings):
                self._say_keys("")
            elif any(bars(one) for one in findings):
                self._say_keys("override, then open")

    def action_open(self) -> None:
        """Sign and open, once."""
        if not busy(self):
            self._open()

    @work
    async def _open(self) -> None:
        reason = self._reason_against()
        if reason:
            self.notify(reason, severity="warning", markup=False, timeout=8)
            return
        overrides = await self._overrides()
        if overrides is None:
            return
        session = await self.app.push_screen_wait(AskPin("Open the batch: you have it in hand", "walk"))
        if session is None:
            return
        try:
            batch = await asyncio.to_thread(
                self.app.floor.open_batch,
                self._procedure.source,
                self._plan,
                self._booking.part,
                self._booking.customer,
                session,
                self.app.now(),
                _standing(self._findings or ()),
            )
        except CannotOpen as error:
            self.notify(str(error), severity="error", markup=False, timeout=10)
            return
        for override, chargehand in overrides:
            # What is refused here the walk asks for again before its first step.
            if refused := await self.app.act(batch, override, chargehand):
                self.notify(refused, severity="warning", markup=False, timeout=10)
        self.app.to_board()
        self.app.to_walk(batch)

    async def _overrides(self) -> list[tuple[Override, Session]] | None:
        """A reason for each rule that bars the route, and one chargehand for all of them; None: not now."""
        ask = self.app.push_screen_wait
        against = [(number, one) for number, one in enumerate(self._findings or (), start=1) if bars(one)]
        wanted: list[Override] = []
        for place, (number, finding) in enumerate(against, start=1):
            of = f" ({place} of {len(against)})" if len(against) > 1 else ""
            reason = await ask(AskText(f"Why is the route walked against this rule?{of}", finding.message))
            if reason is None:
                return None
            wanted.append(Override(number, reason))
        if not wanted:
            return []
        names = ", ".join(dict.fromkeys(finding.rule for _, finding in against))
        chargehand = await ask(AskPin(f"Override {names}", "settle"))
        return None if chargehand is None else [(override, chargehand) for override in wanted]

    def _reason_against(self) -> str | None:
        """Why the batch cannot be opened from here, or None."""
        refusals = [reason for step in self._plan.steps for reason in step.refusals]
        if refusals:
            return f"This load cannot be run: {refusals[0]}"
        if self._findings is None:
            return "The rules of the trade are still being asked: a moment"
        if fixed := never(self._findings):
            return f"This route is never walked: {shown(fixed.message)}. {shown(fixed.remedy)}"
        return None


def _standing(findings: tuple[Finding, ...]) -> tuple[Standing, ...]:
    """The findings as the batch's first line keeps them."""
    return tuple(
        Standing(one.rule, str(one.severity), one.step, shown(one.message, LONGEST), one.overridable)
        for one in findings
    )


def _lines(findings: tuple[Finding, ...]) -> Content:
    """The findings above the plan, the worst first, each with what to do."""
    if not findings:
        return Content.styled(" ✓ the rules of the trade have nothing against this route", "$quiet")
    lines: list[Content] = []
    if never(findings):
        words = "Nobody may override a danger of this kind: the parts or the route must change."
        lines.append(hung(words, 1, "bold"))
    elif any(bars(one) for one in findings):
        words = "Barred. Space asks why it is walked all the same, then a chargehand's PIN."
        lines.append(hung(words, 1, "$quiet"))
    for one in findings:
        sign, style = ("▲", "$error bold") if bars(one) else ("!", "$warning")
        lines.append(hung(f"{sign} {str(one.severity).upper()}: {one.message}", 1, style))
        lines.append(hung(one.remedy, 3))
    return Content("\n").join([*lines, Content("")])
