"""Going back to a step that was walked: which ones there are, and why none can be gone back to just now.

Owns the order of those questions: what stands in the way is said before anything is asked, and the reason is
asked last. Each function gives back what is to be said at the line, or None.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from runner.batch import intents as do
from runner.batch.state import BatchState, Phase
from runner.faults import fault
from runner.screens.modal import AskChoice, AskText
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp

WHICH = "Go back to which step?"
AGAIN = "it and the steps after it are walked again"

BY_DIGIT = 8
"""Most steps by a digit of their own: the ninth digit asks for the number of another."""

_AROUND_ROWS, _AROUND_COLUMNS = 6, 10
"""What a window of choices needs beside them: frame, question, the choice of another, and the foot."""


async def redo(app: TankwalkApp, batch: str) -> str | None:
    """Choose a step that was walked, and say why it is walked again."""
    state = app.state(batch)
    if said := in_the_way(state):
        return said
    if app.session(batch) is None:
        return f"going back is signed: press {app.caps['walk.unlock']} and enter your PIN, then go back"
    number = await _which(app, state)
    if number is None:
        return None
    reason = await app.ask_text(f"Why is step {number} redone?", AGAIN)
    return await app.act(batch, do.Redo(number, reason)) if reason else None


def in_the_way(state: BatchState) -> str | None:
    """Why no step can be redone now, in the words of the line; None where one can."""
    step = state.step
    if step is not None and state.inside:
        name = shown(step.name, 34)
        if state.phase is Phase.PAUSED:
            return f"{name} is interrupted: go on with it and finish it first, then go back"
        if step.tank:
            return f"the rack is in {name}: lift it out first, then go back"
        return f"{name} is being done: finish it first, then go back"
    return None if walked(state) else "no step has been walked yet: there is none to go back to"


def walked(state: BatchState) -> tuple[int, ...]:
    """Numbers of the steps that can be redone, the latest first."""
    return tuple(range(state.next_step - 1, 0, -1)) if state.run else ()


def name_of(state: BatchState, number: int) -> str:
    """A step's name."""
    return state.opened.plan.step(number).name


async def _which(app: TankwalkApp, state: BatchState) -> int | None:
    numbers, size = walked(state), app.size
    by_digit = max(1, min(BY_DIGIT, size.height - _AROUND_ROWS))
    options = tuple(
        shown(f"step {number}  {name_of(state, number)}", max(20, size.width - _AROUND_COLUMNS))
        for number in numbers[:by_digit]
    )
    if len(numbers) > by_digit:
        options += ("another, by its number",)
    chosen = await app.push_screen_wait(AskChoice(WHICH, options))
    if chosen is None or chosen < by_digit:
        return None if chosen is None else numbers[chosen]
    hint = f"its number, 1 to {numbers[0]}"
    typed = await app.push_screen_wait(AskText(WHICH, hint, check=partial(_number, state)))
    return _number(state, typed) if typed else None


def _number(state: BatchState, typed: str) -> int:
    """The number of a step that was walked.

    Raises:
        InputFault: It is none.
    """
    latest = walked(state)[0]
    if not (typed.isascii() and typed.isdecimal()):
        raise fault(f"{shown(typed, 20)} is no number of a step", f"type 1 to {latest}")
    number = int(typed) if len(typed) <= len(str(latest)) else latest + 1
    if not 1 <= number <= latest:
        raise fault(f"step {shown(typed, 20)} has not been walked", f"type 1 to {latest}")
    return number
