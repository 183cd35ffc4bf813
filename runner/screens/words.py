"""What the walk says: every line of the walk screen as plain text, from state and moment alone.

Owns the wording and the choice of what is shown; must not know a screen library, so that a test reads the
screen's words without one. All text from files and people comes out through `shown`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import tzinfo

from runner.batch.clocks import time_goes_on
from runner.batch.moment import Moment
from runner.batch.questions import Action, Question, current_progress, hears_first, next_action
from runner.batch.state import BatchState, Deviation, Phase
from runner.procedure.sheet import PlannedStep
from runner.screens.surface_words import surface_now
from runner.screens.words_figures import Figures, clock_words, figures, figures_ahead
from runner.screens.words_now import Loudness, now_words
from runner.shop.key_map import CAPS
from runner.text import shown
from runner.units import Kind, System, write, write_time


@dataclass(frozen=True, slots=True)
class Walk:
    """The walk screen in words.

    Attributes:
        title: Rack, part, batch.
        place: Step of how many.
        step: The step's name in capitals, or what is awaited.
        tank: Where, and at what temperature.
        over: What the large clock tells.
        face: The large clock itself.
        under: What stands below it.
        now: The one thing to do now, in words; the line that cannot be missed.
        alarm: How loud that line is: "" for plain work, "up" where time is up, "past" where it is too late.
        asked: The question or caution that waits for an answer, or None.
        choices: Its choices, answered by digit.
        go: What the space key does now.
        fact: What the fact key does now, or None.
    """

    title: str
    place: str
    step: str
    tank: str
    over: str
    face: str
    under: str
    figures: Figures
    now: str
    alarm: Loudness
    signal: str
    danger: str
    wear: str
    do: str
    asked: str | None
    choices: tuple[str, ...]
    why: str
    surface: str
    next: str
    go: str
    fact: str | None
    action: Action


def walk(state: BatchState, now: Moment, zone: tzinfo | None = None, caps: Mapping[str, str] = CAPS) -> Walk:
    """The walk screen of a batch at a moment.

    Args:
        state: The batch.
        now: The moment.
        zone: For wall times.
        caps: The key of each action, by ``screen.action``.
    """
    plan = state.opened.plan
    action = next_action(state, now)
    done = current_progress(state, now)
    step = state.step if state.inside else state.upcoming
    words, alarm = now_words(state, action, now, caps)
    over, face, under = clock_words(state, done, now, zone)
    asked, choices = _asked(state, action)
    return Walk(
        title=f"{shown(state.opened.part, 26)} ×{_pieces(state)} · batch {state.opened.batch}",
        place=_place(state),
        step=shown(step.name, 34).upper() if step else str(state.phase).upper(),
        tank=_tank(step, plan.units) if step else "",
        over=over,
        face=face,
        under=under,
        figures=figures(state, done, now, zone, caps["walk.ammeter"])
        if step and state.inside
        else figures_ahead(state, plan.units),
        now=words,
        alarm=alarm,
        signal=_signal(step),
        danger=_danger(step),
        wear=", ".join(shown(item) for item in step.ppe) if step else "",
        do=shown(step.do or "") if step else "",
        asked=asked,
        choices=choices,
        why=shown(step.why or "") if step else "",
        surface=surface_now(state),
        next=_next(state),
        go=_go(action, state),
        fact=_fact(state, action),
        action=action,
    )


def _pieces(state: BatchState) -> int:
    loads = state.opened.plan.loads
    return loads[0].pieces if loads else state.opened.plan.pieces


def _place(state: BatchState) -> str:
    total = len(state.opened.plan.steps)
    number = state.runs[-1].step if state.run and state.inside else min(state.next_step, total)
    return f"step {number} of {total}"


def _tank(step: PlannedStep, units: System) -> str:
    if step.tank is None:
        return "by hand"
    place = shown(step.tank_title or step.tank, 24)
    if step.temperature_low_c is None or step.temperature_high_c is None:
        return place
    low = write(step.temperature_low_c, Kind.TEMPERATURE, units).split()[0]
    return f"{place}, {low} to {write(step.temperature_high_c, Kind.TEMPERATURE, units)}"


def _danger(step: PlannedStep | None) -> str:
    """What can hurt there, in the words of the solution's row and the shop."""
    return " ".join(shown(hazard) for hazard in step.hazards) if step else ""


def _signal(step: PlannedStep | None) -> str:
    """GHS signal word; a step by hand that can hurt warns with one too."""
    if step is None or not step.hazards:
        return ""
    return shown(step.signal or "Warning").upper()


def _asked(state: BatchState, action: Action) -> tuple[str | None, tuple[str, ...]]:
    """What waits for an answer, in words, and its choices."""
    match action.name:
        case "answer":
            assert action.question is not None
            return _question(state, action.question), tuple(
                shown(choice, 60) for choice in action.question.asked.choices
            )
        case "confirm":
            step = state.opened.plan.step(action.step)
            return f"cautions before step {step.number}, {shown(step.name, 40)}", ()
        case "explain":
            assert action.deviation is not None
            return f"{of_deviation(state, action.deviation)}: {shown(action.deviation.detail)}", ()
        case "settle":
            assert action.deviation is not None
            number, told = action.deviation.number, of_deviation(state, action.deviation)
            return f"deviation {number}, {told}: {shown(action.deviation.detail)}", ()
        case "override":
            finding = state.opened.findings[action.number - 1]
            return f"{finding.severity}: {shown(finding.message)}", ()
        case "sign":
            step = state.opened.plan.step(action.step)
            return f"the {state.signer(step)} signs step {step.number}, {shown(step.name, 40)}", ()
        case _:
            return None, ()


def of_deviation(state: BatchState, deviation: Deviation) -> str:
    """Of which step a deviation is, and what it is: its reason is often asked some steps later."""
    name = state.opened.plan.step(deviation.step).name
    return f"step {deviation.step}, {shown(name, 40)}: {shown(deviation.what)}"


def _question(state: BatchState, question: Question) -> str:
    check = question.asked
    place = "" if state.run and question.step == state.run.step else f"step {question.step}: "
    unit = f", {shown(check.unit, 12)}" if check.unit and not check.ask.endswith(check.unit) else ""
    window = ""
    if check.low is not None and check.high is not None:
        window = f"   ({check.low:.4g} to {check.high:.4g})"
    return f"{place}{shown(check.ask, 60)}{unit}{window}"


def _next(state: BatchState) -> str:
    upcoming = state.upcoming
    if upcoming is None:
        return "release" if not state.phase.ended else str(state.phase)
    if not state.inside:
        after = state.opened.plan.steps[upcoming.number : upcoming.number + 1]
        return f"{after[0].number}  {shown(after[0].name, 40)}" if after else "release"
    limit = state.step.next_within_s if state.step else None
    within = f", within {write_time(limit)} of lifting" if limit is not None else ""
    return f"{upcoming.number}  {shown(upcoming.name, 40)}{within}"


def _go(action: Action, state: BatchState) -> str:
    """What the space key does now, in two or three words."""
    tank = state.step.tank if state.step else None
    lifted = "heard it" if hears_first(state) else "lifted out"
    return {
        "answer": "answer",
        "confirm": "read cautions",
        "wait": "wait",
        "lift": lifted if tank else "done",
        "enter": "it is in" if state.upcoming and state.upcoming.tank else "begin",
        "resume": "back in, go on" if tank and not time_goes_on(state) else "go on",
        "sign": "sign",
        "override": "override",
        "explain": "say why",
        "settle": "settle",
        "release": "release",
        "none": "back",
    }[action.name]


def _fact(state: BatchState, action: Action) -> str | None:
    """What the fact key notes now: that a hand was ahead of the screen; None where the space key says it."""
    if action.name == "enter" or (action.name == "lift" and state.step and not state.step.tank):
        return None
    if state.inside and state.step:
        return "it is out now" if state.step.tank else "it is done now"
    between = state.phase in {Phase.WAITING, Phase.BETWEEN}
    return "it is in now" if between and state.upcoming and state.upcoming.tank else None
