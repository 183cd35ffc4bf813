"""What comes next on the whole line: where each rack will be, and where two will want the same hands.

Owns the forecast and the clashes found in it. Pure: states and a moment in, words and figures out. It goes
as far as planned times go; hand work without a time ends a rack's forecast, since nobody can say when it
will be done. It warns and never steers: a rack of acid work and one of cyanide work are told apart, and are
never advised to travel at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from runner.batch.clocks import out_of_tank
from runner.batch.moment import Moment
from runner.batch.questions import QUIET_S, current_progress
from runner.batch.state import BatchState
from runner.plating.solutions import SOLUTIONS
from runner.procedure.sheet import PlannedStep
from runner.units import write_clock

TRANSFER_S = 15.0
"""What a hand takes from tank to tank in a forecast (common practice)."""

TOGETHER_S = 30.0
"""Two lift-outs nearer than this want the same pair of hands (common practice)."""


@dataclass(frozen=True, slots=True)
class Stay:
    """A rack in a tank, as forecast.

    Attributes:
        begin_s: From now until it goes in; 0 where it is in.
        lift_s: From now until it may be lifted.
        must_s: From now until it must be out.
    """

    batch: str
    step: PlannedStep
    begin_s: float
    lift_s: float
    must_s: float

    @property
    def short(self) -> bool:
        """Whether hands stay with the rack: it is too short to leave."""
        return (self.step.dwell_s or 0.0) < QUIET_S


@dataclass(frozen=True, slots=True)
class Clash:
    """Two racks that will want the same thing.

    Attributes:
        in_s: From now until it comes to it.
        batches: The two.
        words: What it is, and what helps; a sentence with both batches by name.
        can_wait: Whether one of them has the time to wait: nothing goes wrong where that is known.
    """

    in_s: float
    batches: tuple[str, str]
    words: str
    can_wait: bool = False


def forecast(state: BatchState, batch: str, now: Moment) -> tuple[Stay, ...]:
    """Where a rack will be, from now until hand work that has no planned time."""
    return tuple(_stays(state, batch, now))


def _stays(state: BatchState, batch: str, now: Moment) -> Iterator[Stay]:
    share = state.opened.plan.overstay_share
    at_s = 0.0
    done = current_progress(state, now)
    if done is not None:
        if state.step is None or state.step.tank is None or done.left_s is None:
            return
        at_s = max(0.0, done.left_s)
        yield Stay(batch, state.step, 0.0, at_s, max(at_s, done.must_s or 0.0))
        at_s += TRANSFER_S
    elif out_of_tank(state) is None:
        return
    for step in state.opened.plan.steps[state.next_step - 1 :]:
        if step.tank is None or step.dwell_s is None:
            return
        lift_s = at_s + step.dwell_s
        must_s = at_s + (step.dwell_max_s if step.dwell_max_s is not None else step.dwell_s * (1 + share))
        yield Stay(batch, step, at_s, lift_s, must_s)
        at_s = lift_s + TRANSFER_S


def clashes(stays: Mapping[str, tuple[Stay, ...]], within_s: float = 3600.0) -> tuple[Clash, ...]:
    """What will go wrong between racks within a time, the soonest first.

    Each pair is told once, and before that where both are due together and one can wait.

    Args:
        stays: The forecast of each.
        within_s: From now.
    """
    found: list[Clash] = []
    for one, other in combinations(stays, 2):
        between = sorted(
            (clash for clash in _between(stays[one], stays[other]) if clash.in_s <= within_s),
            key=lambda clash: clash.in_s,
        )
        worse = [clash for clash in between if not clash.can_wait]
        found += worse[:1]
        found += [clash for clash in between[:1] if clash.can_wait]
    return tuple(sorted(found, key=lambda clash: clash.in_s))


def _between(ours: tuple[Stay, ...], theirs: tuple[Stay, ...]) -> Iterator[Clash]:
    for a in ours:
        for b in theirs:
            yield from _one_rectifier(a, b)
            yield from _one_tank(a, b)
            yield from _two_lifts(a, b)
            yield from _busy_hands(a, b)
            yield from _busy_hands(b, a)


def _overlap_s(a: Stay, b: Stay) -> float | None:
    """When two stays are first under way together; None where they never are."""
    begin_s = max(a.begin_s, b.begin_s)
    return begin_s if begin_s < min(a.lift_s, b.lift_s) else None


def _one_rectifier(a: Stay, b: Stay) -> Iterator[Clash]:
    at_s = _overlap_s(a, b)
    if at_s is None or a.step.rectifier is None or a.step.rectifier != b.step.rectifier:
        return
    if a.step.tank != b.step.tank:
        yield _clash(a, b, at_s, f"{_both(a, b)} want rectifier {a.step.rectifier} for two tanks at once")
        return
    amps, most = (a.step.current_a or 0.0) + (b.step.current_a or 0.0), a.step.rectifier_max_a
    if most is not None and amps > most:
        wanted = f"together want {amps:.0f} A of rectifier {a.step.rectifier}'s {most:.0f}"
        yield _clash(a, b, at_s, f"{_both(a, b)} {wanted}")


def _one_tank(a: Stay, b: Stay) -> Iterator[Clash]:
    at_s = _overlap_s(a, b)
    if at_s is None or a.step.tank != b.step.tank:
        return
    area, most = (a.step.parts_dm2 or 0.0) + (b.step.parts_dm2 or 0.0), a.step.tank_max_dm2
    if most is not None and area > most:
        yield _clash(a, b, at_s, f"{_both(a, b)} are more than {a.step.tank_title} takes at once")


def _two_lifts(a: Stay, b: Stay) -> Iterator[Clash]:
    """Lifts at the same time: neither rack can wait until the other has been carried over, or which can."""
    apart_s = abs(a.lift_s - b.lift_s)
    if apart_s >= TOGETHER_S:
        return
    first, second = (a, b) if a.lift_s <= b.lift_s else (b, a)
    if second.must_s < first.lift_s + TRANSFER_S and first.must_s < second.lift_s + TRANSFER_S:
        words = f"{_both(a, b)} lift within {TOGETHER_S:.0f} s of each other{_apart(a, b)}"
        yield _clash(a, b, first.lift_s, words)
        return
    # Of two that are due already the alarms tell; by two short dips hands stand anyway.
    if apart_s > TRANSFER_S or second.lift_s <= 0 or (a.short and b.short):
        return
    waits = b if b.must_s - a.lift_s >= a.must_s - b.lift_s else a
    wait = write_clock(waits.must_s - waits.lift_s)
    words = f"{_both(a, b)} are due together: {waits.batch} can wait {wait}{_apart(a, b)}"
    yield Clash(first.lift_s, (a.batch, b.batch), words, can_wait=True)


def _busy_hands(waits: Stay, served: Stay) -> Iterator[Clash]:
    """A rack whose latest lift falls into a step of another that no hand can leave."""
    # One that is past its latest lift has an alarm of its own, and nothing is ahead of it.
    if waits.short or not served.short or waits.must_s <= 0:
        return
    if served.begin_s <= waits.lift_s and waits.must_s <= served.lift_s:
        words = (
            f"{waits.batch} overstays in {waits.step.tank_title}"
            f" while {served.batch} is in {served.step.tank_title}"
        )
        yield _clash(waits, served, waits.lift_s, words)


def _both(a: Stay, b: Stay) -> str:
    return f"{a.batch} and {b.batch}"


def _apart(a: Stay, b: Stay) -> str:
    """Acid and cyanide never travel at once, whatever the clock says."""
    classes = [
        SOLUTIONS[stay.step.solution].classes if stay.step.solution in SOLUTIONS else () for stay in (a, b)
    ]
    if any("acid" in x and "cyanide" in y for x, y in (classes, classes[::-1])):
        return ": acid and cyanide, one after the other, the first rinsed and down before the second moves"
    return ""


def _clash(a: Stay, b: Stay, at_s: float, words: str) -> Clash:
    later_s = abs(a.must_s - b.lift_s) + TRANSFER_S
    hint = ""
    starts = [stay for stay in (a, b) if stay.begin_s > 0]
    if starts:
        hint = f": start {starts[-1].batch} {write_clock(later_s)} later"
    return Clash(max(0.0, at_s), (a.batch, b.batch), f"{words}{hint}")
