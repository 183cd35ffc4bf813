"""A shift at the real terminal: six racks in thirty minutes, two interruptions, a crash, one overstay."""

from __future__ import annotations

import re
import signal
from pathlib import Path

from msgspec.structs import replace

from runner.batch.state import BatchState
from runner.batch.terms import Departure
from runner.procedure.sheet import PlannedStep
from runner.record.floor import Floor
from runner.record.fold import fold
from runner.record.keys import Keys
from runner.record.moment import SystemClock
from runner.record.verify import verify
from support import shifted_app
from support.floors import PIN
from support.sheets import CARDED, sheet
from support.terminal import Line

RACKS = ("sleeves", "stirrups", "rosettes", "poles", "brackets", "bells")
"""Metalwork of a carousel, invented."""

DWELL_S, MOST_S, EVERY_MIN = 600.0, 900.0, 2
SOAK = PlannedStep(1, "Soak", "clean", "clock", dwell_s=DWELL_S, dwell_max_s=MOST_S)
LOOK = PlannedStep(2, "Look", "inspect", "hand")
FORGOTTEN = 3
"""The rack, by its digit, that nobody lifts before its longest time is over."""


class Shift:
    """One terminal through a shift: its clock, and what its board said when.

    Attributes:
        boards: Shop minute and text of each look at the board.
    """

    def __init__(self, place: Path) -> None:
        self.place, self.minute = place, 0.0
        self.clock = place / "clock"
        self.clock.write_text("0\n", encoding="ascii")
        self.boards: list[tuple[float, str]] = []
        self._batches()
        self.line = self.begin()

    def _batches(self) -> None:
        """Six batches booked in, each for a tank of its own."""
        floor, now = Floor(self.place / "shop", Keys(self.place / "keys")), SystemClock().now()
        session = floor.roll.unlock("olive", PIN, now)
        for number, part in enumerate(RACKS, start=1):
            tank = replace(SOAK, tank=f"t{number}", tank_title=f"Tank {number}")
            floor.open_batch(CARDED, sheet(tank, LOOK), part, "C-1", session, now)
        floor.close()

    def begin(self) -> Line:
        """The program, started or started again."""
        program = Path(shifted_app.__file__)
        line = Line(self.place, (str(program), str(self.place / "shop"), str(self.clock)))
        line.sees("6 open batches", *RACKS)
        return line

    def to(self, minute: float) -> None:
        """Let the shop's time come to a minute, and look at the board, which must be up."""
        before = self._shown_s()
        self.clock.write_text(f"{minute * 60}\n", encoding="ascii")
        by_s = (minute - self.minute) * 60
        self.line.until(lambda: (self._shown_s() - before) % 86400 >= by_s, f"the board came to {minute}")
        self.minute = minute
        self.boards.append((minute, self.line.text))

    def _shown_s(self) -> int:
        """The time of day that the board shows, in seconds."""
        head = self.line.look().split("\n", maxsplit=1)[0]
        found = re.search(r"(\d\d):(\d\d):(\d\d)", head)
        assert found, head
        hours, minutes, seconds = map(int, found.groups())
        return hours * 3600 + minutes * 60 + seconds

    def walk(self, digit: int) -> None:
        """Go to a rack, with the PIN where its key is locked."""
        self.line.press(str(digit))
        self.line.until(lambda: self._asked() or "step " in self.line.text, "the walk came")
        if self._asked():
            self.line.press(f"{PIN}\r")
        self.line.until(lambda: not self._asked() and "of 2" in self.line.text, "the walk came")

    def _asked(self) -> bool:
        return "another person" in self.line.look()

    def board(self) -> None:
        """Back to the board."""
        self.line.press("b")
        self.line.sees("6 open batches")

    def enter(self, digit: int) -> None:
        """Put a rack into its tank."""
        self.walk(digit)
        self.line.press(" ")
        self.line.sees("lift out in")
        self.board()

    def lift(self, digit: int) -> None:
        """Lift it out: a fact with a key of its own, which needs no alarm to be heard first."""
        self.walk(digit)
        self.line.press("f")
        self.line.until(lambda: "it is out now" not in self.line.look(), "it was out")
        self.board()

    def interrupt(self, digit: int) -> None:
        """Somebody calls: the rack is lifted, its clock stands."""
        self.walk(digit)
        self.line.press("p")
        self.line.sees("Where is the rack?", "lifted")
        self.line.press("2")
        self.line.sees("PAUSED")
        self.board()

    def resume(self, digit: int) -> None:
        """The rack goes back in."""
        self.walk(digit)
        self.line.press(" ")
        self.line.until(lambda: "PAUSED" not in self.line.look(), "it went on")
        self.board()

    def killed(self) -> None:
        """The power goes, and comes back."""
        self.line.signal(signal.SIGKILL)
        assert self.line.ends() == -signal.SIGKILL
        self.line = self.begin()

    def states(self) -> dict[int, BatchState]:
        """What the journals come to, by digit."""
        files = sorted((self.place / "shop" / "logs").glob("*/journal.jsonl"))
        return {number: fold(file.read_bytes()).state for number, file in enumerate(files, start=1)}

    def announced(self, digit: int, before: float) -> list[str]:
        """Rows of a rack on boards before a minute that call for its lift."""
        rows = [row for minute, text in self.boards if minute < before for row in text.split("\n")]
        return [row for row in rows if row.startswith(f" {digit}  ▲") and "lift from Soak" in row]


def work(shift: Shift) -> None:
    """The thirty minutes: in every two minutes, out when the time is up, and what comes between."""
    for number in range(1, 4):
        shift.enter(number)
        shift.to(number * EVERY_MIN)
    shift.enter(4)
    shift.interrupt(2)
    shift.to(8)
    shift.resume(2)
    shift.enter(5)
    shift.to(10)
    shift.enter(6)
    shift.interrupt(4)
    shift.to(11)
    shift.lift(1)
    shift.resume(4)
    shift.to(13)
    shift.killed()
    shift.to(15)
    shift.lift(2)
    for minute, digit in ((18, 4), (19, 5), (21, 6), (23, FORGOTTEN)):
        shift.to(minute)
        shift.lift(digit)
    shift.to(30)


def test_a_shift_with_interruptions_and_a_crash_has_no_surprise(place: Path) -> None:
    """Each rack that overstayed had been called for on the board before its longest time was over.

    Nothing that was acknowledged is lost in the crash; all journals prove; the terminal is left sane.
    """
    shift = Shift(place)
    try:
        work(shift)
        shift.line.quits()
    finally:
        shift.line.close()
    states = shift.states()
    assert len(states) == len(RACKS)
    assert all(state.runs and state.runs[0].left is not None for state in states.values())
    assert {number: len(state.runs[0].pauses) for number, state in states.items()} == {
        **dict.fromkeys(states, 0),
        2: 1,
        4: 1,
    }
    over = {
        number
        for number, state in states.items()
        for deviation in state.deviations
        if deviation.what == Departure.LATE
    }
    assert over == {FORGOTTEN}
    entered_min = (FORGOTTEN - 1) * EVERY_MIN
    for number in over:
        assert shift.announced(number, entered_min + MOST_S / 60), number
    assert verify(place / "shop").findings == ()


def test_two_terminals_see_each_others_racks_within_two_seconds(place: Path) -> None:
    """A rack goes in at one terminal; the other's board shows it there, and its clock, within 2 s."""
    shift = Shift(place)
    other = shift.begin()
    other.press("?")  # a screen beside the board loses nothing: what stands is looked at when it comes back
    other.sees("The board")
    other.press("?")
    other.sees("6 open batches")
    try:
        shift.walk(1)
        shift.line.press(" ")
        clock = SystemClock()
        shift.line.sees("lift out in")
        done_ms = clock.now().up_ms
        other.sees("in Soak", "lift in", "in hand at another terminal")
        assert clock.now().up_ms - done_ms < 2000
        floor = Floor(place / "shop", Keys(place / "keys"))
        now = clock.now()
        session = floor.roll.unlock("olive", PIN, now)
        floor.open_batch(
            CARDED, sheet(replace(SOAK, tank="t7", tank_title="Tank 7")), "canopy", "", session, now
        )
        done_ms = clock.now().up_ms
        other.sees("7 open batches", "canopy")
        assert clock.now().up_ms - done_ms < 2000
        floor.close()
    finally:
        shift.line.close()
        other.close()


def test_a_hold_that_a_crash_left_changes_hands_only_with_a_pin(place: Path) -> None:
    """Killed, its note left behind: another terminal asks whose hands; without a PIN they stay."""
    shift = Shift(place)
    try:
        shift.walk(1)
        shift.line.signal(signal.SIGKILL)
        assert shift.line.ends() == -signal.SIGKILL
        assert list((place / "shop" / "logs").glob("*/journal.holder"))
        other = shift.line = shift.begin()
        before = shift.states()[1]
        other.press("1")
        other.sees("Take batch", "another person")
        other.press("\x1b")
        other.until(lambda: "Take batch" not in other.look(), "went back to the board")
        other.press("1")
        other.sees("Take batch", "another person")
        other.press("f")
        assert shift.states()[1] == before
        other.press("\x1b[B")
        other.sees("Otto")
        other.press(f"{PIN}\r")
        other.until(lambda: shift.states()[1].taken_by.id == "otto", "Otto had it in hand")
    finally:
        shift.line.close()
