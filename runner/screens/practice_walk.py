"""The walk of a practice batch: the same, with what can be seen at the line, and a key to say it is wrong.

Owns the two rows at the foot and the questions of a call. Must not judge one: the batch room does.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from runner.batch.clocks import out_of_tank
from runner.batch.moment import Moment
from runner.batch.practice_faults import Trouble, answers, mixed, shows
from runner.batch.practice_log import Answered, showing
from runner.batch.questions import Action
from runner.procedure.sheet import PlannedStep
from runner.record.practice_floor import PRACTICE_PIN
from runner.screens.help import HelpScreen
from runner.screens.keys import Key, busy
from runner.screens.modal import AskChoice
from runner.screens.walk import WalkScreen
from runner.screens.walk_keys import ABOUT, KEYS
from runner.screens.walk_lines import NARROW_CELLS
from runner.screens.walk_parts import Line
from runner.screens.words import Walk
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.practice_app import PracticeApp

CALLED = tuple(trouble for trouble in Trouble if trouble is not Trouble.PHONE)
"""What can be called by hand; the phone is heard by everybody."""

WRONG = Key("s", "wrong!", "practice alone: say that something is wrong, and what", action="walk.wrong")

ROWS = 2
"""At the foot: what can be seen, and that this is practice."""


FOOT = f"PRACTICE, no parts   {{wrong}}: something is wrong   {{why}}: why   PIN {PRACTICE_PIN}"
FOOT_NARROW = f"PRACTICE   {{wrong}}: wrong   PIN {PRACTICE_PIN}"


class AskBefore(AskChoice):
    """What the route asks a trainee, under the step that it belongs to: the rack is in the one before still.

    Args:
        step: To be entered next.
        title: What is asked.
        options: At most nine.
    """

    def __init__(self, step: PlannedStep, title: str, options: tuple[str, ...]) -> None:
        super().__init__(title, options)
        self._before = f"Before step {step.number}, {shown(step.name, 60)}"

    async def on_mount(self) -> None:
        """Head the question with its step."""
        await self.query_one(Vertical).mount(Static(Content(self._before), classes="quiet"), before=0)


class PracticeWalkScreen(WalkScreen):
    """The walk of the practice batch."""

    app: PracticeApp  # narrowed further: this screen belongs to a practice
    DEFAULT_CSS = """
    PracticeWalkScreen #seen, PracticeWalkScreen #practice { height: 1; }
    PracticeWalkScreen #practice { background: $foreground; color: $background; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("s", "wrong", "something is wrong", id="walk.wrong")]
    MORE_ROWS: ClassVar[int] = ROWS

    def compose(self) -> ComposeResult:
        yield from super().compose()
        yield Line(id="seen")
        yield Line(id="practice")

    def tick(self, now: Moment) -> None:
        """Draw the walk, and below it what a look at the tank would show."""
        super().tick(now)
        if self._over:
            return
        state = self.app.state(self._batch)
        seen = "nothing: the rack is in no tank"
        if state.inside and state.step:
            fault = showing(self.app.noted, state, now)
            words = tuple(shows(state.step, fault, state.opened.plan.units))
            seen = " · ".join(words) or "nothing out of the way"
        width, foot = max(10, self.size.width - 2), FOOT
        if width < NARROW_CELLS:
            # Units say which meter it is: nothing that can be seen may fall off the edge.
            seen, foot = seen.replace("ammeter ", "").replace("bath ", ""), FOOT_NARROW
        else:
            seen = f"SEEN     {seen}"
        foot = foot.format(wrong=self.app.caps["walk.wrong"], why=self.app.caps["walk.why"])
        self.query_one("#seen", Line).say(Content.styled(f" {shown(seen, width)}", "bold"))
        self.query_one("#practice", Line).say(Content(f" {shown(foot, width)}"))

    def action_help(self) -> None:
        """The keys, at length, with the one that only practice has."""
        self.app.show_help("The walk", (WRONG, *KEYS), ABOUT)

    def _keys(self, view: Walk) -> tuple[Key, ...]:
        kept = [key for key in super()._keys(view) if key.cap not in {"n", "t"}]
        return (*kept[:-1], WRONG, kept[-1])

    async def _go(self, action: Action) -> None:
        """What the route asks a trainee comes before its cautions, while the rack is still safe."""
        step = action.step if action.name in {"confirm", "enter"} else 0
        clock = out_of_tank(self.app.state(self._batch))
        dripping = clock is not None and clock.limit_s is not None
        if step and not dripping and self.app.asked_before(step):
            if not busy(self):
                self._ask_before(step)
            return
        await super()._go(action)

    @work
    async def _ask_before(self, step: int) -> None:
        planned = self.app.state(self._batch).opened.plan.step(step)
        for one in self.app.asked_before(step):
            choices = mixed(one.choices, self.app.noted.seed, one.ask)
            chosen = await self.app.push_screen_wait(AskBefore(planned, one.ask, choices))
            if chosen is None:
                return
            answer = Answered(step, one.ask, choices[chosen], one.right, one.because)
            await self.app.answer(answer)
            title = "✓ Right" if answer.correct else f"▲ It is: {shown(one.right, 60)}"
            await self.app.push_screen_wait(HelpScreen(title, (), shown(one.because)))
        self.tick(self.app.now())

    def action_wrong(self) -> None:
        """Something is wrong: say what, and what is to be done."""
        if not self._over and self.app.guard.passes("wrong", self.app.keys.pressed_ms) and not busy(self):
            at = self.app.now()
            self.app.slow_down()
            self._call_out(at)

    @work
    async def _call_out(self, at: Moment) -> None:
        ask = self.app.push_screen_wait
        chosen = await ask(AskChoice("What is wrong?", tuple(CALLED)))
        if chosen is None:
            return
        doing = answers(CALLED[chosen], self.app.noted.seed)
        done = await ask(AskChoice("What do you do about it?", doing))
        if done is None:
            return
        self._said = await self.app.call_out(CALLED[chosen], doing[done], at)
        self.tick(self.app.now())
