"""What calls for a hand now, on all racks, as one ordered list.

Owns which conditions are alarms, what each costs, what to do about it and how soon, and when one is quiet.
An alarm is only what somebody must act on in time (ISA-18.2 and IEC 62682, from memory, in our own words);
all else is shown and left alone. Several at once are one list, the worst and nearest first. Pure: states
and a moment in; must not ring, draw or look at a clock.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from runner.batch.clocks import current_off, hangs, out_of_tank, plates_on
from runner.batch.moment import Moment, elapsed_s
from runner.batch.questions import current_progress
from runner.batch.state import BatchState, Phase
from runner.procedure.sheet import PlannedStep

Priority = Literal["high", "medium", "low"]
RANK: dict[Priority, int] = {"high": 0, "medium": 1, "low": 2}

SHELVE_MOST_S = 1800.0
"""Longest that an alarm may be put off (common practice: a shelf that nobody empties is a switch)."""

SHELVE_DANGER_S = 120.0
"""Longest where the alarm is of high priority or its tank is marked Danger (common practice)."""


class Alarm(StrEnum):
    """What may be an alarm; the word stands in the journal."""

    OVERSTAYED = "overstayed"
    OUT_TOO_LONG = "out too long"
    CURRENT_OFF = "current off too long"
    OUTSIDE = "meter outside its window"
    TIME_UP = "time is up"
    READ_AGAIN = "read the meter again"


@dataclass(frozen=True, slots=True)
class Meaning:
    """One row of the table of alarms.

    Attributes:
        act_within: Time to act, in words.
        rings: Whether it sounds; what does not only stands in the list.
    """

    cause: str
    consequence: str
    action: str
    act_within: str
    priority: Priority
    rings: bool = True


MEANINGS: dict[Alarm, Meaning] = {
    Alarm.OVERSTAYED: Meaning(
        "a rack is in its tank past its latest time",
        "deposit too thick or burnt, metal etched, a film that the next layer will not hold on",
        "lift it out",
        "at once",
        "high",
    ),
    Alarm.OUT_TOO_LONG: Meaning(
        "a rack is out of a tank for longer than its surface allows",
        "it dries or passivates, and the next layer peels",
        "no hurry now: re-activate before plating on",
        "before the next plating step",
        "medium",
    ),
    Alarm.CURRENT_OFF: Meaning(
        "current has been off for longer than the deposit allows, and more metal is to go on",
        "the surface is passive, and the next layer peels",
        "re-activate before plating on",
        "before the next plating step",
        "medium",
    ),
    Alarm.OUTSIDE: Meaning(
        "the last meter reading is outside the window of the deposit",
        "burnt edges, a dull deposit or no cover",
        "set the current, look at contacts, read again",
        "within minutes: what is laid down meanwhile stays",
        "medium",
    ),
    Alarm.TIME_UP: Meaning(
        "a rack's time in its tank is up",
        "it will overstay",
        "lift it out",
        "until its latest time",
        "medium",
    ),
    Alarm.READ_AGAIN: Meaning(
        "the last meter reading is older than the shop allows",
        "the lift-out rests on a guess",
        "read the ammeter",
        "until the lift-out",
        "low",
        rings=False,
    ),
}
"""What each is about (common practice; where a tank can hurt, the supplier's data sheet goes first)."""


@dataclass(frozen=True, slots=True)
class Call:
    """One alarm of one rack.

    Attributes:
        act_s: Seconds left to act, below zero where it is past; None where only the next step bounds it.
        quiet: Acknowledged, or on the shelf: it stands in the list and does not sound.
        shelve_most_s: Longest that it may be put off.
    """

    batch: str
    step: int
    alarm: Alarm
    act_s: float | None
    quiet: bool
    shelve_most_s: float

    @property
    def meaning(self) -> Meaning:
        """Its row of the table."""
        return MEANINGS[self.alarm]

    @property
    def rings(self) -> bool:
        """Whether it sounds now."""
        return self.meaning.rings and not self.quiet


def calls(states: Mapping[str, BatchState], now: Moment) -> tuple[Call, ...]:
    """Every alarm of every rack: those that sound before the quiet, the worst and nearest first."""
    found = [call for batch, state in states.items() for call in of_rack(state, batch, now)]
    return tuple(sorted(found, key=_order))


def _order(call: Call) -> tuple[bool, int, float, str]:
    act_s = call.act_s if call.act_s is not None else SHELVE_MOST_S
    return call.quiet, RANK[call.meaning.priority], act_s, call.batch


def of_rack(state: BatchState, batch: str, now: Moment) -> Iterator[Call]:
    """The alarms of one rack."""
    run, step = state.run, state.step
    if run is None or step is None or state.phase.ended:
        return
    for alarm, act_s, since in _standing(state, step, now):
        quiet = any(
            one.alarm == alarm
            and (since is None or one.moment.at_ms >= since.at_ms)
            and (one.for_s is None or elapsed_s(one.moment, now) < one.for_s)
            for one in run.quieted
        )
        # Journals of before kept one acknowledgement a step, that of the time being up.
        quiet = quiet or (alarm is Alarm.TIME_UP and run.acknowledged is not None and not run.quieted)
        yield Call(batch, run.step, alarm, act_s, quiet, shelve_most_s(alarm, step))


def _standing(
    state: BatchState, step: PlannedStep, now: Moment
) -> Iterator[tuple[Alarm, float | None, Moment | None]]:
    """What stands now: the alarm, seconds left to act, and since when where it can come twice in a step."""
    done = current_progress(state, now)
    if done is not None and done.due and hangs(state):
        past = done.must_s is not None and done.must_s < 0
        yield Alarm.OVERSTAYED if past else Alarm.TIME_UP, done.must_s, None
    out, off = out_of_tank(state), current_off(state)
    if out is not None and state.upcoming is not None and (over := out.over_s(now)) is not None and over > 0:
        yield Alarm.OUT_TOO_LONG, None, None
    # Where nothing will be plated any more the surface may be as passive as it likes.
    if off is not None and plates_on(state) and (over := off.over_s(now)) is not None and over > 0:
        yield Alarm.CURRENT_OFF, None, None
    if done is None or state.phase is not Phase.IN_STEP or not step.energised:
        return
    density, readings = done.density_a_dm2, state.runs[-1].readings
    if readings and density is not None and not _inside(step, density):
        yield Alarm.OUTSIDE, done.left_s, readings[-1].moment
    again_s = state.opened.plan.read_again_s
    since = readings[-1].moment if readings else state.runs[-1].entered
    if again_s is not None and elapsed_s(since, now) > again_s and not done.due:
        yield Alarm.READ_AGAIN, done.left_s, since


def _inside(step: PlannedStep, density_a_dm2: float) -> bool:
    low, high = step.density_low_a_dm2, step.density_high_a_dm2
    return (low is None or density_a_dm2 >= low) and (high is None or density_a_dm2 <= high)


def shelve_most_s(alarm: Alarm, step: PlannedStep) -> float:
    """Longest that an alarm of a step may be put off: what can hurt or spoil comes back soon."""
    danger = MEANINGS[alarm].priority == "high" or (step.signal or "").casefold() == "danger"
    return SHELVE_DANGER_S if danger else SHELVE_MOST_S


def objection_to_quiet(step: PlannedStep, alarm: str, for_s: float | None) -> str | None:
    """Why an alarm of a step cannot be acknowledged, or put off for so long; None where it can."""
    if alarm not in set(Alarm):
        return f"no alarm is called {alarm!r}"
    most_s = shelve_most_s(Alarm(alarm), step)
    if for_s is None or 0 < for_s <= most_s:
        return None
    return f"this alarm is put off for {most_s / 60:.0f} min at most"


def loudest(state: BatchState, now: Moment) -> Alarm:
    """The alarm that a hand on this rack acknowledges; its time being up where none stands."""
    standing = sorted(of_rack(state, "", now), key=_order)
    return standing[0].alarm if standing else Alarm.TIME_UP


def table() -> str:
    """Every alarm, as a page in Markdown."""
    rows = ["| alarm | cause | consequence | action | time to act | priority | sounds |", "|" + " --- |" * 7]
    for alarm, said in MEANINGS.items():
        cells = (alarm, said.cause, said.consequence, said.action, said.act_within, said.priority)
        rows.append("| " + " | ".join((*cells, "yes" if said.rings else "no")) + " |")
    return "\n".join(rows) + "\n"
