"""What a trainee noticed in a practice walk, and what became of each fault.

Owns the log of a practice walk, which fault shows at a moment, the judgement of a call, and the debrief as
plain lines. Pure: moments are handed in. What is said to the journal is said in words (`note_of`); the log
itself decides nothing about the batch.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
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
        before: Whether the rack was on its way into the step, and not in it yet.
    """

    step: int
    fault: Fault | None
    verdict: Verdict
    after_s: float = 0.0
    said: Trouble | None = None
    doing: str = ""
    before: bool = False


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
    if run is None or not state.inside:
        return Call(state.next_step, None, Verdict.FALSE, 0.0, said, doing, before=True)
    if fault is None:
        return Call(run.step, None, Verdict.FALSE, 0.0, said, doing)
    after_s = _since_s(fault, run, now)
    verdict = Verdict.RIGHT if doing == LESSONS[said].right else Verdict.WRONG_ACTION
    if said is not fault.trouble:
        verdict = Verdict.WRONG_CAUSE
    return Call(run.step, fault, verdict, after_s, said, doing)


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

    A walk that was left can be taken up again, so of that one nothing is told that is still to come, and
    nothing of what is still to be found out.

    Args:
        log: Of the walk.
        state: Of the batch.
        now: When it is told; a walk that was left may have a fault showing then.
    """
    standing, ended = showing(log, state, now), state.phase.ended
    yield f"PRACTICE · {shown(state.opened.plan.title, 50)} · {state.opened.batch} · seed {log.seed}"
    calls = {fault: [call for call in log.calls if call.fault == fault] for fault in log.faults}
    came = [fault for fault in log.faults if calls[fault] or fault == standing]
    yield _summary(log, len(came), "" if ended else state.phase)
    for fault in log.faults if ended else came:
        yield ""
        yield from _fault_lines(fault, calls[fault], state, over=ended or log.over(fault))
    for call in log.calls:
        if call.verdict is Verdict.FALSE:
            yield ""
            place = _place(call.step, state, before=call.before)
            yield f"{place}: called {call.said}. {_capital(call.verdict)}"
            yield "  A look at meter, thermometer and part comes before a call (common practice)."
    for answer in (*log.places, *log.answers):
        yield ""
        before = answer in log.answers
        yield f"{_place(answer.step, state, before=before)}: {shown(answer.ask, 100)}"
        yield f"  {'✓ right' if answer.correct else '▲ wrong'}: {shown(answer.said, 70)}"
        if not answer.correct:
            yield f"  It is: {shown(answer.right, 70)}."
        yield f"  {shown(answer.because, 300)}"


def _summary(log: PracticeLog, came: int, left: str) -> str:
    """The walk in a line; of one that was left in some phase, without how many are still to come."""
    verdicts = Counter(call.verdict for call in log.calls)
    if left:
        told = f"{came or 'no'} fault{'' if came == 1 else 's'} came so far"
    else:
        told = f"{came} of {len(log.faults)} fault{'' if len(log.faults) == 1 else 's'} came"
    told += f", {verdicts[Verdict.RIGHT]} dealt with rightly"
    if wrong := verdicts[Verdict.WRONG_CAUSE]:
        told += f", a wrong cause called {_times(wrong)}"
    false = verdicts[Verdict.FALSE]
    told += f"; {false or 'no'} false call{'' if false == 1 else 's'}"
    return f"{_capital(told)}   (the walk was left: {left})" if left else told


def _fault_lines(fault: Fault, calls: Sequence[Call], state: BatchState, *, over: bool) -> Iterator[str]:
    """One fault that came, or did not; one that is not over yet is not named."""
    lesson, last = LESSONS[fault.trouble], calls[-1] if calls else None
    wrong = Counter(call.said for call in calls if call.verdict is Verdict.WRONG_CAUSE)
    if not over:
        yield f"{_place(fault.step, state)}: something showed there, and is not dealt with yet"
        yield from _wrongly(wrong)
        return
    yield f"{_place(fault.step, state)}: {fault.trouble} ({fault.meter})"
    if last is None:
        yield "  · did not come: the rack was not in this step then"
        return
    if last.verdict is Verdict.MISSED:
        yield f"  ▲ missed: it showed for {write_time(last.after_s)}, and the rack left with it"
    elif last.verdict in ENDS:
        sign = "✓" if last.verdict is Verdict.RIGHT else "▲"
        yield f"  {sign} noticed after {write_time(last.after_s)}: {last.verdict}"
    yield from _wrongly(wrong)
    if last.verdict in ENDS and last.doing:
        yield f"  You chose: {last.doing}"
    if last.verdict is not Verdict.RIGHT:
        yield f"  To do: {lesson.right}."
    yield f"  Why it matters: {lesson.matters} ({KNOWN})"


def _wrongly(wrong: Counter[Trouble | None]) -> Iterator[str]:
    """What a fault was taken for that it was not: a cause that is guessed until it is right was not seen."""
    if wrong:
        named = ", ".join(f"{said} ({_times(count)})" for said, count in wrong.items())
        yield f"  ▲ taken for something else {_times(wrong.total())}: {named}"


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def _place(step: int, state: BatchState, *, before: bool = False) -> str:
    if not 1 <= step <= len(state.opened.plan.steps):
        return "after the last step"
    named = f"step {step}, {shown(state.opened.plan.step(step).name, 40)}"
    return f"before {named}" if before else named


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
