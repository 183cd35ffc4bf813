"""What the walk asks in a window of its own: reasons, cautions, where the rack is, who signs.

Owns the order of those questions, and how far cautions were read. Each ends in an intent handed to the app,
or in nothing; each function gives back what is to be said at the line, or None.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, get_args

from runner.batch import intents as do
from runner.batch.questions import Action, next_action
from runner.batch.state import Answer, BatchState
from runner.batch.terms import Disposition, Where
from runner.faults import fault
from runner.screens.entries import check_of, entry_words, figure, latest_entries
from runner.screens.modal import AskChoice, AskText, AskTyped, ReadCautions
from runner.screens.pin import AskPin
from runner.screens.walk_redo import redo
from runner.screens.words import of_deviation
from runner.shop.rights import Right
from runner.text import shown

if TYPE_CHECKING:
    from runner.screens.app import TankwalkApp


class CautionsRead:
    """How many cautions of the step to come were answered, by batch, while nothing is on the journal yet."""

    def __init__(self) -> None:
        self._counts: dict[str, tuple[tuple[str, int, int], int]] = {}

    @staticmethod
    def _place(state: BatchState, step: int) -> tuple[str, int, int]:
        # What one person was told another was not; and a step that is redone is read anew.
        return state.taken_by.id, step, len(state.runs)

    def of(self, state: BatchState, step: int) -> int:
        """How many were answered; none where the step, or who has the batch in hand, is another."""
        place, count = self._counts.get(state.opened.batch, (None, 0))
        return count if place == self._place(state, step) else 0

    def keep(self, state: BatchState, step: int, count: int) -> None:
        """Remember how many."""
        self._counts[state.opened.batch] = self._place(state, step), count

    def forget(self, batch: str) -> None:
        """They are on the journal now."""
        self._counts.pop(batch, None)


async def ask_for(app: TankwalkApp, batch: str, what: str, cautions: CautionsRead) -> str | None:
    """Ask what an intent still needs, carry it out, and give back what is to be said about it."""
    ask = app.push_screen_wait
    state = app.state(batch)
    action = next_action(state, app.now())
    match what:
        case "note":
            text = await app.ask_text("Note")
            return await app.act(batch, do.WriteNote(text)) or "noted" if text else None
        case "trouble":
            text = await app.ask_text("What is wrong?", "it becomes a deviation, settled before release")
            return await _report(app, batch, text) if text else None
        case "pause":
            return await _pause(app, batch)
        case "unlock":
            session = await ask(AskPin(f"Take batch {batch} in hand", "walk", state.taken_by.id))
            return await app.take(batch, session) if session else None
        case "confirm":
            return await _confirm(app, batch, action.step, cautions)
        case "correct":
            return await _correct(app, batch)
        case "explain":
            return await _explain(app, batch, action)
        case _:
            return await _signed(app, batch, what, action)


async def _confirm(app: TankwalkApp, batch: str, number: int, cautions: CautionsRead) -> str | None:
    """Have the cautions of a step read, from the first that was not answered on; all go on one line."""
    state = app.state(batch)
    step, read = state.opened.plan.step(number), cautions.of(state, number)
    # All are answered already where the line could not be written.
    if read < len(step.confirm) and not await app.push_screen_wait(
        ReadCautions(step.name, step.confirm, read, partial(cautions.keep, state, number))
    ):
        return None
    refused = await app.act(batch, do.Confirm(number))
    if refused is None:
        cautions.forget(batch)
    return refused


async def _pause(app: TankwalkApp, batch: str) -> str | None:
    """Interrupt the step, asking where the rack is only where one hangs in a tank."""
    step = app.state(batch).step
    if not (app.state(batch).inside and step and step.tank):
        # No time of hand work counts while nobody works at it, as in a rack that is lifted.
        return await app.act(batch, do.Interrupt(Where.LIFTED))
    where = await app.push_screen_wait(AskChoice("Where is the rack?", tuple(Where)))
    return await app.act(batch, do.Interrupt(list(Where)[where])) if where is not None else None


async def _correct(app: TankwalkApp, batch: str) -> str | None:
    """Choose one of the last entries, say what it should be, and why."""
    ask, state = app.push_screen_wait, app.state(batch)
    entries = latest_entries(state)
    if not entries:
        return "nothing has been entered yet"
    chosen = await ask(AskChoice("Which entry is wrong?", tuple(entry_words(state, one) for one in entries)))
    if chosen is None:
        return None
    entry = entries[chosen]
    value, choice = None, None
    if isinstance(entry, Answer) and entry.choice is not None:
        choices = check_of(state, entry).choices
        picked = await ask(AskChoice(check_of(state, entry).ask, choices))
        choice = choices[picked] if picked is not None else None
    else:
        typed = await app.ask_text(entry_words(state, entry), "what it should say: a number")
        value = figure(typed) if typed else None
        if typed and value is None:
            return f"{shown(typed, 20)} is no number"
    if value is None and choice is None:
        return None
    reason = await app.ask_text("Why was it wrong?")
    return await app.act(batch, do.Correct(entry.line, reason, value, choice)) if reason else None


async def _report(app: TankwalkApp, batch: str, text: str) -> str:
    """Raise a deviation by hand, and say under which number."""
    refused = await app.act(batch, do.Report(text))
    number = len(app.state(batch).deviations)
    return refused or f"deviation {number} is noted; its reason is asked later"


async def _explain(app: TankwalkApp, batch: str, action: Action) -> str | None:
    deviation = action.deviation
    if deviation is None:
        return None
    reason = await app.ask_text(f"Why? {of_deviation(app.state(batch), deviation)}", deviation.detail)
    return await app.act(batch, do.Explain(deviation.number, reason)) if reason else None


async def _signed(app: TankwalkApp, batch: str, what: str, action: Action) -> str | None:
    """What stands only with a PIN entered for it."""
    ask, state = app.push_screen_wait, app.state(batch)
    intent: do.Intent
    match what:
        case "sign":
            step = state.opened.plan.step(action.step)
            right: Right = "sign_chargehand" if state.signer(step) == "chargehand" else "sign_operator"
            session = await ask(AskPin(f"Sign step {step.number}, {step.name}", right, state.taken_by.id))
            intent = do.Sign()
        case "override":
            finding = state.opened.findings[action.number - 1]
            reason = await app.ask_text("Why is the route walked against this rule?", finding.message)
            session = await ask(AskPin(f"Override {finding.rule}", "settle")) if reason else None
            intent = do.Override(action.number, reason or "")
        case "settle" if action.deviation is not None:
            options = get_args(Disposition)
            told = f"{of_deviation(state, action.deviation)}: {action.deviation.detail}"
            chosen = await ask(AskChoice(told, options))
            if chosen is None:
                return None
            session = await ask(AskPin(f"Settle it: {options[chosen]}", "settle", state.taken_by.id))
            intent = do.Settle(action.deviation.number, options[chosen])
        case "release":
            return await _release(app, batch)
        case "redo":
            return await redo(app, batch)
        case "abandon":
            if await ask(AskTyped("Abandon this batch. It ends here and is sealed.", batch)) is None:
                return None
            reason = await app.ask_text("Why is it abandoned?")
            session = (
                await ask(AskPin(f"Abandon batch {batch}", "walk", state.taken_by.id)) if reason else None
            )
            intent = do.Abandon(reason or "")
        case _:
            return None
    return await app.act(batch, intent, session) if session else None


async def _release(app: TankwalkApp, batch: str) -> str | None:
    ask, plan = app.push_screen_wait, app.state(batch).opened.plan
    load = plan.loads[0].pieces if plan.loads else plan.pieces
    pieces = await ask(
        AskText(
            "How many pieces are good?",
            f"of {load}; the others are set aside",
            check=partial(_pieces, load),
        )
    )
    if pieces is None:
        return None
    good, had = _pieces(load, pieces), app.state(batch).taken_by.id
    session = await ask(AskPin(f"Release batch {batch}: {good} of {load} pieces are good", "release", had))
    return await app.act(batch, do.Release(good), session) if session else None


def _pieces(load: int, typed: str) -> int:
    """A count of good pieces.

    Raises:
        InputFault: It is none, or more than there are.
    """
    if not (typed.isascii() and typed.isdecimal()):
        raise fault(f"{shown(typed, 20)} is no count of pieces", f"type 0 to {load}")
    good = int(typed) if len(typed) <= len(str(load)) else load + 1
    if good > load:
        raise fault(f"{shown(typed, 20)} good pieces are more than the {load} here", f"type 0 to {load}")
    return good
