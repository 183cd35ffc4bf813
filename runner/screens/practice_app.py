"""The app for one practice walk: the same screens, with faults thrown in and a debrief at the end.

Owns when the clock hurries, when the phone rings, and the log of what was noticed. The faults themselves and
their judgement are the batch room's; every call, miss and answer goes into the practice journal as a note.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import tzinfo
from typing import TYPE_CHECKING, ClassVar

from textual.screen import ModalScreen

from runner.batch.intents import Intent, WriteNote
from runner.batch.moment import Moment
from runner.batch.practice_faults import Trouble, answers, mixed
from runner.batch.practice_log import (
    Answered,
    Call,
    PracticeLog,
    Verdict,
    answer_note,
    debrief,
    judge,
    missed,
    note_of,
    showing,
)
from runner.batch.questions import current_progress
from runner.batch.state import BatchState, Phase
from runner.record.practice_clock import PracticeClock, pace
from runner.record.practice_floor import PRACTICE_PIN, PracticeFloor
from runner.record.practised import PractisedLedger
from runner.record.session import Session
from runner.screens.app import TankwalkApp
from runner.screens.board import BoardScreen
from runner.screens.debrief import DebriefScreen
from runner.screens.keys import Key
from runner.screens.phone import PhoneScreen
from runner.screens.practice_walk import PracticeWalkScreen
from runner.screens.walk import WalkScreen

if TYPE_CHECKING:
    from runner.procedure.model import AskTrainee  # the screens need no validation library

MARK = "PRACTICE"

SAID: Mapping[Verdict, str] = {
    Verdict.RIGHT: "✓ right: it is put right now",
    Verdict.WRONG_ACTION: "noticed. Something else was to be done: the debrief says what",
    Verdict.WRONG_CAUSE: "something is wrong, but not that: look again",
    Verdict.FALSE: "nothing shows: a false call",
}
"""What is said at the line after a call."""


SHOP_S = frozenset({"board.open", "board.records", "board.people"})
"""What a board leads to in the shop; a practice does not show the keys of it."""


class PracticeBoardScreen(BoardScreen):
    """The board with the practice batch alone; nothing of the shop's is reached from it."""

    KEYS: ClassVar[tuple[Key, ...]] = tuple(
        sorted((key for key in BoardScreen.KEYS if key.action not in SHOP_S), key=lambda one: one.cap == "?")
    )

    def action_open(self) -> None:
        """Not here."""
        self.notify("this is practice: nothing of the shop's is opened here", markup=False)

    action_records = action_open
    action_people = action_open


class PracticeApp(TankwalkApp):
    """The app on one practice batch.

    Args:
        floor: Of the practice.
        clock: Tells its moments.
        log: With the faults to come.
        asked: The route's questions for a trainee, by step number.
        ledger: Where a practice walked to its end can be entered, in a shop with people; None elsewhere.
        zone: Time zone for wall times.
        big: Whether the walk begins in big print.
    """

    HOME: ClassVar[type[BoardScreen]] = PracticeBoardScreen
    WALK: ClassVar[type[WalkScreen]] = PracticeWalkScreen

    def __init__(
        self,
        floor: PracticeFloor,
        clock: PracticeClock,
        log: PracticeLog,
        asked: Mapping[int, tuple[AskTrainee, ...]],
        *,
        ledger: PractisedLedger | None = None,
        zone: tzinfo | None = None,
        big: bool = False,
    ) -> None:
        notice = f" {MARK}: no parts; nothing here is production. PIN {PRACTICE_PIN}"
        super().__init__(floor, clock.now, notice=notice, zone=zone, big=big)
        self.practice = floor
        self._note_down(log)
        self._clock, self._asked = clock, asked
        self.ledger = ledger
        self._ringing = False

    def on_mount(self) -> None:
        """Straight to the walk, once the board lies under it."""
        self.call_later(self.to_walk, self.practice.batch)

    def _tick(self) -> None:
        now, state = self.now(), self.practice.practised
        self._clock.pace = pace(self._waits_s(state, now))
        super()._tick()
        if isinstance(self.screen, ModalScreen):
            for window in self.screen.query("Vertical, VerticalScroll"):
                window.border_title = MARK
        fault = showing(self.noted, state, now)
        rings = fault is not None and fault.trouble is Trouble.PHONE
        if not self._ringing and (rings or self.noted.place_owed):
            self._ringing = True
            self.run_worker(self._ring(state), group="phone")

    def _waits_s(self, state: BatchState, now: Moment) -> float | None:
        """Time that somebody at the walk only waits for; None where hands or eyes have something to do."""
        if state.phase is not Phase.IN_STEP or not isinstance(self.screen, PracticeWalkScreen):
            return None
        done = current_progress(state, now)
        return done.left_s if done and state.step and state.step.tank else None

    def slow_down(self) -> None:
        """Time for somebody to think in, at once and not at the next tick."""
        self.now()
        self._clock.pace = pace(None)

    # --- what is noticed ------------------------------------------------------------------------------

    def asked_before(self, step: int) -> tuple[AskTrainee, ...]:
        """Questions of a step that have no answer yet."""
        given = {(answer.step, answer.ask) for answer in self.noted.answers}
        return tuple(one for one in self._asked.get(step, ()) if (step, one.ask) not in given)

    def _note_down(self, log: PracticeLog) -> None:
        self.noted = log
        self.practice.keep(log)

    async def answer(self, answer: Answered) -> None:
        """Keep an answer to a question before a step."""
        self._note_down(self.noted.with_answer(answer))
        await self._note(answer_note(answer))

    async def call_out(self, trouble: Trouble, doing: str, at: Moment) -> str:
        """Keep a call; gives back what is to be said at the line."""
        call = judge(self.noted, self.practice.practised, at, trouble, doing)
        await self._keep(call)
        return SAID[call.verdict]

    async def _keep(self, call: Call) -> None:
        self._note_down(self.noted.with_call(call))
        await self._note(note_of(call))

    async def _note(self, words: str) -> None:
        if not self.practice.practised.phase.ended:
            await super().act(self.practice.batch, WriteNote(words))

    async def act(self, batch: str, intent: Intent, session: Session | None = None) -> str | None:
        """Carry an intent out; a fault that a rack left with is kept as missed."""
        said = await super().act(batch, intent, session)
        for call in tuple(missed(self.noted, self.practice.practised)):
            await self._keep(call)
        return said

    async def _ring(self, state: BatchState) -> None:
        """The phone, in place of the walk; then where the rack is, without looking.

        Of a call that was answered before the practice was left, only where the rack is.
        """
        if self.noted.place_owed is None:
            doing, at = answers(Trouble.PHONE, self.noted.seed), self.now()
            chosen = await self.push_screen_wait(PhoneScreen("THE PHONE RINGS", "What do you do?", doing))
            await self.call_out(Trouble.PHONE, doing[chosen], at)
        assert self.noted.place_owed is not None
        step, steps = state.opened.plan.step(self.noted.place_owed), state.opened.plan.steps
        near = dict.fromkeys(one.name for one in steps[max(0, step.number - 2) : step.number + 1])
        names = mixed(tuple(near), self.noted.seed, "place")
        place = await self.push_screen_wait(
            PhoneScreen("It has stopped", "Which step is the rack in?", names)
        )
        kept = Answered(
            step.number,
            "After the phone: which step is the rack in?",
            names[place],
            step.name,
            "The walk keeps the place, whatever comes between: read it there before a hand moves.",
        )
        self._note_down(self.noted.with_place(kept))
        await self._note(answer_note(kept))

    # --- the end ----------------------------------------------------------------------------------------

    def told(self) -> tuple[str, ...]:
        """The debrief, as far as the walk has come."""
        return tuple(debrief(self.noted, self.practice.practised, self.now()))

    def _put_away(self, batch: str) -> None:
        super()._put_away(batch)
        to_its_end = self.practice.practised.phase is Phase.RELEASED
        self.push_screen(DebriefScreen(self.told(), self.ledger if to_its_end else None))
