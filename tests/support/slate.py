"""The order of a batch told a second time, naively, to check the first telling against.

For one route only (`HELD_STEPS`), walked in no time at all. Its few facts stand in plain sets, worked out
by hand from the route; it shares no code with the room it checks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from msgspec.structs import replace

from runner.batch import events as ev
from support.batches import CHARGEHAND, OPERATOR, TRAINEE

ASKED_AHEAD = {1: {1}, 2: {2}, 3: {3, 4}, 4: {4}, 5: {5}, 6: set[int]()}
"""By the step to come: those asked about already. The rinse (3) is too short to ask in, so 4 is with it."""

VALUES = {(2, 0): "during", (2, 1): "before", (4, 0): "before"}
CHOICES = {(1, 0): "after", (2, 2): "after"}
CAUTIONS = {2: ("Current on before the rack goes in",), 4: ("Extraction running",)}
HOLDS = {1: "operator", 4: "operator", 5: "chargehand"}
ASKED_BEFORE = {2: (2, 1), 4: (4, 0)}
ENERGISED = {2, 4}
WET = {2, 3, 4}
WINDOWS = {2: (20, 60), 4: (80, 160)}
"""Amps for 10 dm² inside which a deposit keeps its character."""
LIMITS = {(2, 1): (3.8, 4.4), (4, 0): (38, 46)}
AREA_DM2 = 10.0
ALARMS = {"overstayed", "time is up"}
"""Of those that there are, the ones that this test tries."""
PIECES = 4


Entry = ev.ValueGiven | ev.ChoiceGiven | ev.CurrentRead | ev.ChargeRead


def put_right(entry: Entry, value: float | None, choice: str | None) -> Entry:
    """The entry as it should have been."""
    match entry:
        case ev.ChoiceGiven():
            return replace(entry, choice=choice or "")
        case ev.ValueGiven():
            return replace(entry, value=value or 0.0)
        case ev.CurrentRead():
            return replace(entry, amps=value or 0.0)
        case _:
            return replace(entry, ah=value or 0.0)


@dataclass
class Naive:
    """What a plater's slate would hold of a batch."""

    doing: str = "waiting"
    at: int = 0
    next: int = 1
    entered: set[int] = field(default_factory=set)
    signed: set[int] = field(default_factory=set)
    looked: set[tuple[int, int]] = field(default_factory=set)
    deviations: list[str] = field(default_factory=list)
    confirmed: set[int] = field(default_factory=set)
    ahead: set[tuple[int, int]] = field(default_factory=set)
    answered: set[tuple[int, int]] = field(default_factory=set)
    owed: list[tuple[int, str]] = field(default_factory=list)
    lines: int = 1
    entries: dict[int, Entry] = field(default_factory=dict)
    entries_ahead: dict[int, Entry] = field(default_factory=dict)

    def allows(self, event: ev.Event) -> bool:
        """Whether this may happen now."""
        if self.doing == "ended":
            return False
        if self.owed and not isinstance(event, ev.TailSetAside):
            if not isinstance(event, ev.DeviationRaised):
                return False
            return (event.number, event.step, event.what) == (len(self.deviations) + 1, *self.owed[0])
        here = getattr(event, "step", None) == self.at
        match event:
            case ev.BatchOpened():
                return False
            case ev.BatchTaken(by) | ev.BatchAbandoned(_, by):
                return by is not TRAINEE
            case ev.CautionsConfirmed(step, cautions):
                return step in ASKED_AHEAD[self.next] and cautions == CAUTIONS.get(step, ())
            case ev.StepEntered(step):
                held = self.at in HOLDS and self.at not in self.signed and self.next == self.at + 1
                return self.doing in {"waiting", "between"} and step == self.next and not held
            case ev.ValueGiven(step, check, value):
                return value < 1e10 and self.answerable(step, VALUES.get((step, check)))
            case ev.ChoiceGiven(step, check, choice):
                return choice == "even, bright" and self.answerable(step, CHOICES.get((step, check)))
            case ev.CurrentRead(_, figure, area) | ev.ChargeRead(_, figure, area):
                shared = area is None or area >= AREA_DM2
                return here and self.at in ENERGISED and figure >= 0 and shared
            case ev.EntryCorrected(step, line, _, value, choice):
                entry = self.entries.get(line)
                if entry is None or entry.step != step:
                    return False
                if isinstance(entry, ev.ChoiceGiven):
                    return value is None and choice in {"even, bright", "burnt edge"}
                signed = isinstance(entry, ev.ValueGiven)
                return choice is None and value is not None and (signed or value >= 0)
            case ev.TimerPaused():
                return self.doing == "in step" and here
            case ev.TimerResumed():
                return self.doing == "paused" and here
            case ev.AlarmAcknowledged():
                return here and self.doing != "waiting"
            case ev.AlarmShelved(_, alarm, for_s, by):
                most_s = 120 if alarm == "overstayed" else 1800
                return (
                    here
                    and self.doing != "waiting"
                    and alarm in ALARMS
                    and 0 < for_s <= most_s
                    and by is not TRAINEE
                )
            case ev.StepLeft():
                return self.doing in {"in step", "paused"} and here
            case ev.StepSigned(_, meaning, by):
                signer = OPERATOR if meaning == "operator" else CHARGEHAND
                return here and HOLDS.get(self.at) == meaning and self.at not in self.signed and by is signer
            case ev.StepRedone(step, _):
                return self.doing in {"between", "walked"} and 0 < step < self.next
            case ev.NoteWritten(step, _):
                return 0 <= step <= 5
            case ev.DeviationRaised(number, step, _, _):
                return number == len(self.deviations) + 1 and 0 <= step <= 5
            case ev.DeviationExplained(number, _):
                return 1 <= number <= len(self.deviations) and self.deviations[number - 1] == "raised"
            case ev.DeviationSettled(number, _, by):
                known = 1 <= number <= len(self.deviations) and self.deviations[number - 1] == "explained"
                return known and by is CHARGEHAND
            case ev.BatchReleased(pieces, by):
                complete = self.signed == set(HOLDS) and self.looked == set(CHOICES)
                settled = all(deviation == "settled" for deviation in self.deviations)
                count = 0 <= pieces <= PIECES
                return self.doing == "walked" and complete and settled and count and by is CHARGEHAND
            case _:
                return True

    def answerable(self, step: int, when: str | None) -> bool:
        """A check asked before its step can be answered ahead, every other one from its step on."""
        if when is None:
            return False
        ahead = when == "before" and step in ASKED_AHEAD[self.next]
        return ahead or (step < self.next and step in self.entered)

    def departs(self, event: ev.Event) -> list[str]:
        """What is wrong with a fact, in a walk in which no time passes at all."""
        match event:
            case ev.StepEntered(step):
                unasked = step in ASKED_BEFORE and ASKED_BEFORE[step] not in self.ahead
                untold = step in CAUTIONS and step not in self.confirmed
                return ["entered without its cautions"] * untold + ["not answered"] * unasked
            case ev.StepLeft(step):
                unread = step == 2 and (2, 0) not in self.answered
                return ["lifted early"] * (step in WET) + ["not answered"] * unread
            case ev.TimerPaused(step):
                return ["interrupted"] * (step in WET)
            case ev.StepRedone():
                return ["redone"]
            case ev.ValueGiven(step, check, value):
                low, high = LIMITS.get((step, check), (-math.inf, math.inf))
                return ["outside its window"] * (not low <= value <= high)
            case ev.ChoiceGiven(_, _, choice):
                return ["not as it should look"] * (choice != "even, bright")
            case ev.EntryCorrected(_, line, _, value, choice):
                return self.departs(put_right(self.entries[line], value, choice))
            case ev.CurrentRead(step, amps, area):
                low, high = WINDOWS[step]
                return ["outside its window"] * (not low <= amps * AREA_DM2 / (area or AREA_DM2) <= high)
            case _:
                return []

    def debts(self) -> list[ev.DeviationRaised]:
        """The deviations that the last fact owes."""
        number = len(self.deviations) + 1
        return [ev.DeviationRaised(number + i, step, what, "…") for i, (step, what) in enumerate(self.owed)]

    def take(self, event: ev.Event) -> None:
        """Write it on the slate."""
        if not isinstance(event, ev.DeviationRaised | ev.TailSetAside):
            self.owed = [(getattr(event, "step", 0), what) for what in self.departs(event)]
        self.lines += 1
        if isinstance(event, Entry):
            ahead = event.step >= self.next and isinstance(event, ev.ValueGiven | ev.ChoiceGiven)
            (self.entries_ahead if ahead else self.entries)[self.lines] = event
        match event:
            case ev.CautionsConfirmed(step):
                self.confirmed.add(step)
            case ev.ValueGiven(step, check):
                (self.ahead if step >= self.next else self.answered).add((step, check))
            case ev.StepEntered(step):
                self.doing, self.at, self.next = "in step", step, step + 1
                self.entered.add(step)
                self.signed.discard(step)
                self.looked = {look for look in self.looked if look[0] != step}
                self.confirmed.discard(step)
                self.entries |= {n: entry for n, entry in self.entries_ahead.items() if entry.step == step}
                self.entries_ahead = {n: e for n, e in self.entries_ahead.items() if e.step != step}
                self.ahead = {place for place in self.ahead if place[0] != step}
                self.answered = {place for place in self.answered if place[0] != step}
            case ev.ChoiceGiven(step, check, _):
                self.looked.add((step, check))
            case ev.TimerPaused():
                self.doing = "paused"
            case ev.TimerResumed():
                self.doing = "in step"
            case ev.StepLeft(step):
                self.doing = "walked" if step == 5 else "between"
            case ev.StepSigned(step):
                self.signed.add(step)
            case ev.StepRedone(step):
                self.doing, self.next = "between", step
                self.ahead.clear()
                self.entries_ahead.clear()
                self.confirmed.clear()
            case ev.DeviationRaised():
                self.deviations.append("raised")
                self.owed = self.owed[1:]
            case ev.DeviationExplained(number):
                self.deviations[number - 1] = "explained"
            case ev.DeviationSettled(number):
                self.deviations[number - 1] = "settled"
            case ev.BatchReleased() | ev.BatchAbandoned():
                self.doing = "ended"
