"""What a trainee noticed in a practice walk, and what became of each fault.

Owns the log of a practice walk, which fault shows at a moment, the judgement of a call, and the debrief as
plain lines. Pure: moments are handed in. What is said to the journal is said in words (`note_of`); the log
itself decides nothing about the batch.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from runner.batch.moment import Moment, elapsed_s
from runner.batch.practice_faults import KNOWN, LESSONS, Fault, Trouble
from runner.batch.state import BatchState, Phase, StepRun
from runner.text import shown
from runner.units import write_time


class Verdict(StrEnum):
    """What a call was."""

    RIGHT = "right: that was it, and that is what to do"
    WRONG_ACTION = "seen, but something else was to be done"
    WRONG_CAUSE = "something is wrong, but not that"
    FALSE = "nothing was wrong: a false call"
    MISSED = "missed: the rack left with it"


ENDS = frozenset({Verdict.RIGHT, Verdict.WRONG_ACTION, Verdict.MISSED})
"""After these a fault is over; after a wrong cause it goes on, and may be called again."""


@dataclass(frozen=True, slots=True)
class Call:
    """Somebody said that something is wrong.

    Attributes:
        fault: Which fault showed then, or None where none did.
        after_s: Seconds from its showing until the call.
        said: What it was taken for; None for a fault that nobody called.
        doing: What was to be done about it.
    """

    step: int
    fault: Fault | None
    verdict: Verdict
    after_s: float = 0.0
    said: Trouble | None = None
    doing: str = ""


@dataclass(frozen=True, slots=True)
class Answered:
    """A question before a step, or after the phone, and how it was answered."""

    step: int
    ask: str
    said: str
    right: str
    because: str

    @property
    def correct(self) -> bool:
        """Whether the answer was the right one."""
        return self.said == self.right


@dataclass(frozen=True, slots=True)
class PracticeLog:
    """One practice walk.

    Attributes:
        seed: That chose the faults.
        faults: What was thrown in, in the order of the steps.
        calls: What was called, and what was missed.
        answers: To the questions of the route.
        places: To where the rack was, after the phone.
    """

    seed: int
    faults: tuple[Fault, ...]
    calls: tuple[Call, ...] = ()
    answers: tuple[Answered, ...] = ()
    places: tuple[Answered, ...] = ()

    def with_call(self, call: Call) -> PracticeLog:
        """With one more call."""
        return replace(self, calls=(*self.calls, call))

    def with_answer(self, answer: Answered) -> PracticeLog:
        """With one more answer before a step."""
        return replace(self, answers=(*self.answers, answer))

    def with_place(self, answer: Answered) -> PracticeLog:
        """With one more answer after the phone."""
        return replace(self, places=(*self.places, answer))

    @property
    def place_owed(self) -> int | None:
        """The step in which the phone rang, while nobody has said since where the rack is."""
        rung = [call.step for call in self.calls if call.said is Trouble.PHONE]
        return rung[-1] if len(rung) > len(self.places) else None

    def over(self, fault: Fault) -> bool:
        """Whether a fault has been dealt with, or was missed."""
        return any(call.fault == fault and call.verdict in ENDS for call in self.calls)


def showing(log: PracticeLog, state: BatchState, now: Moment) -> Fault | None:
    """The fault that shows now, or None."""
    run = state.run
    if run is None or not state.inside or state.phase is Phase.PAUSED:
        return None
    fault = _fault_of(log, run)
    shows = fault is not None and not log.over(fault) and _since_s(fault, run, now) >= 0
    return fault if shows else None


def judge(log: PracticeLog, state: BatchState, now: Moment, said: Trouble, doing: str) -> Call:
    """What a call is worth.

    Args:
        log: Until now.
        state: Of the batch.
        now: When it was called.
        said: What it was taken for.
        doing: What was to be done.
    """
    fault, run = showing(log, state, now), state.run
    step = run.step if run else 0
    if fault is None or run is None:
        return Call(step, None, Verdict.FALSE, 0.0, said, doing)
    after_s = _since_s(fault, run, now)
    verdict = Verdict.RIGHT if doing == LESSONS[said].right else Verdict.WRONG_ACTION
    if said is not fault.trouble:
        verdict = Verdict.WRONG_CAUSE
    return Call(step, fault, verdict, after_s, said, doing)


def missed(log: PracticeLog, state: BatchState) -> Iterator[Call]:
    """Faults that showed, and whose step has been left since without a call that ended them."""
    for run in state.runs:
        fault = _fault_of(log, run)
        if fault is None or run.left is None or log.over(fault):
            continue
        if (after_s := _since_s(fault, run, run.left)) >= 0:
            yield Call(run.step, fault, Verdict.MISSED, after_s)


def _fault_of(log: PracticeLog, run: StepRun) -> Fault | None:
    """A step that is redone is walked without its fault."""
    return next((one for one in log.faults if one.step == run.step and run.attempt == 1), None)


def _since_s(fault: Fault, run: StepRun, now: Moment) -> float:
    return elapsed_s(run.entered, now) - fault.after_s


def note_of(call: Call) -> str:
    """A call as the journal's note says it."""
    if call.said is None:
        what = call.fault.trouble if call.fault else "nothing"
        return f"practice: {what}: {call.verdict}"
    return f"practice: called {call.said!s}, then: {call.doing}; {call.verdict}"


def answer_note(answer: Answered) -> str:
    """An answer as the journal's note says it."""
    right = "right" if answer.correct else f"wrong, it is: {shown(answer.right, 60)}"
    return f"practice: asked {shown(answer.ask, 90)} Answer: {shown(answer.said, 60)}; {right}"


def debrief(log: PracticeLog, state: BatchState, now: Moment) -> Iterator[str]:
    """The debrief, line by line: what was thrown in, what was noticed, what was missed and why it matters.

    Args:
        log: Of the walk.
        state: Of the batch.
        now: When it is told; a walk that was left may have a fault showing then.
    """
    standing = showing(log, state, now)
    yield f"PRACTICE · {shown(state.opened.plan.title, 50)} · {state.opened.batch} · seed {log.seed}"
    ended = "" if state.phase.ended else f"   (the walk was left: {state.phase})"
    dealt = [_last(log, fault) for fault in log.faults]
    right = sum(call is not None and call.verdict is Verdict.RIGHT for call in dealt)
    came = sum(call is not None or fault == standing for fault, call in zip(log.faults, dealt, strict=True))
    false = [call for call in log.calls if call.verdict is Verdict.FALSE]
    yield f"{came} of {len(log.faults)} faults came, {right} dealt with rightly; {_calls(len(false))}{ended}"
    for fault, call in zip(log.faults, dealt, strict=True):
        yield ""
        yield from _fault_lines(fault, call, state, shows=fault == standing)
    for call in false:
        yield ""
        yield f"{_place(call.step, state)}: called {call.said}. {_capital(Verdict.FALSE)}"
        yield "  A look at meter, thermometer and part comes before a call (common practice)."
    for answer in (*log.places, *log.answers):
        yield ""
        yield f"{_place(answer.step, state)}: {shown(answer.ask, 100)}"
        yield f"  {'✓ right' if answer.correct else '▲ wrong'}: {shown(answer.said, 70)}"
        if not answer.correct:
            yield f"  It is: {shown(answer.right, 70)}."
        yield f"  {shown(answer.because, 300)}"


def _last(log: PracticeLog, fault: Fault) -> Call | None:
    """What became of a fault in the end; None where nobody called it and no rack left with it."""
    return next((call for call in reversed(log.calls) if call.fault == fault), None)


def _fault_lines(fault: Fault, call: Call | None, state: BatchState, *, shows: bool) -> Iterator[str]:
    lesson = LESSONS[fault.trouble]
    yield f"{_place(fault.step, state)}: {fault.trouble} ({fault.meter})"
    if call is None and not shows:
        yield "  · did not come: the rack was not in this step then"
        return
    if call is None:
        yield "  · it showed and was not called yet when the walk was left"
    elif call.verdict is Verdict.MISSED:
        yield f"  ▲ missed: it showed for {write_time(call.after_s)}, and the rack left with it"
    else:
        sign = "✓" if call.verdict is Verdict.RIGHT else "▲"
        yield f"  {sign} noticed after {write_time(call.after_s)}: {call.verdict}"
        yield f"  You chose: {call.doing}" if call.doing else f"  You said: {call.said}"
    if call is None or call.verdict is not Verdict.RIGHT:
        yield f"  To do: {lesson.right}."
    yield f"  Why it matters: {lesson.matters} ({KNOWN})"


def _place(step: int, state: BatchState) -> str:
    if not 1 <= step <= len(state.opened.plan.steps):
        return "before the first step"
    return f"step {step}, {shown(state.opened.plan.step(step).name, 40)}"


def _calls(count: int) -> str:
    return f"{count or 'no'} false call{'' if count == 1 else 's'}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
