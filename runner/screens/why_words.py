"""Why this step: its reason, what goes wrong, and what the surface is now, as plain text.

Owns the order and the headings. Must not know a screen library; what goes wrong comes from the tables of the
trade, with how each is known beside it.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.batch.state import BatchState
from runner.procedure.goes_wrong import goes_wrong
from runner.screens.surface_words import surface_now
from runner.text import shown


def why_page(state: BatchState) -> tuple[str, tuple[()], str]:
    """Title, no keys of its own, and what stands on the page."""
    return why_title(state), (), why_words(state)


def why_title(state: BatchState) -> str:
    """Which step it is about: the one under way, or the one to come."""
    step = state.step if state.inside else state.upcoming
    return f"Why: step {step.number}, {shown(step.name, 40)}" if step else f"Why: {state.phase}"


def why_words(state: BatchState) -> str:
    """The page, its parts divided by an empty line."""
    return "\n\n".join(_parts(state))


def _parts(state: BatchState) -> Iterator[str]:
    plan = state.opened.plan
    step = state.step if state.inside else state.upcoming
    if step is None:
        yield "Every step has been walked."
        return
    yield f"WHY  {shown(step.why) if step.why else 'the procedure says nothing'}"
    wrong = [f"· {what}  ({known})" for what, known in goes_wrong(plan, step)]
    wrong += [f"! {shown(one.message)}" for one in state.opened.findings if one.step == step.number]
    if wrong:
        yield "\n".join(["WHAT GOES WRONG", *wrong])
    if step.hazards:
        yield f"WHAT CAN HURT  {' '.join(shown(hazard) for hazard in step.hazards)}"
    yield f"THE SURFACE NOW  {surface_now(state) or 'as it was booked in'}"
    if step.surface:
        yield f"AFTER THIS STEP  {shown(step.surface)}, if all goes as planned"
