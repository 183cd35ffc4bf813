"""The real program under a pseudo-terminal: a walk by keys, how it ends, and what it leaves behind."""

from __future__ import annotations

import signal
from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import pytest

from runner.batch import intents as do
from runner.batch.questions import current_progress
from runner.record.floor import Floor
from runner.record.fold import fold
from runner.record.keys import Keys
from runner.record.moment import SystemClock
from support.bookings import typed
from support.floors import PIN
from support.sheets import CARDED, FINAL, NICKEL, sheet
from support.terminal import Line

Start = Callable[..., Line]

ENTER, ESCAPE, CTRL_C, DOWN = "\r", "\x1b", "\x03", "\x1b[B"


def opened(line: Line) -> None:
    """Open a batch by keys: Otto books two pieces in, and puts the rack into the dip."""
    line.sees("No batch is open")
    line.press("o")
    line.sees("which procedure?", "Dip and nickel")
    line.press("1")
    line.sees("Plated area")
    line.press("".join(f"{answer}{ENTER}" for answer in typed(part="irons", customer="C-1")))
    line.sees("The plan", "Dip")
    line.until(lambda: "being asked" not in line.look(), "the rules answered")
    line.press(" ")
    line.sees("Why is the route walked against this rule?")
    line.press(f"a trial piece{ENTER}")
    signs(line, "Olive", "Override plated-on-soil")
    signs(line, "Olive", "Open the batch")
    line.sees("step 1 of 3")


def signs(line: Line, name: str, what: str = "") -> None:
    """Choose a person and type the PIN, for what the window says that it is."""
    line.sees("another person", what)
    while name not in (before := line.look()):
        line.press(DOWN)
        line.until(partial(_changed, line, before), "the next person was shown")
    line.press(PIN + ENTER)
    line.until(lambda: "another person" not in line.look() or what not in line.look(), "the PIN was taken")


def _changed(line: Line, before: str) -> bool:
    return line.look() != before


def journal(place: Path) -> bytes:
    """The journal of the one batch."""
    return next((place / "shop" / "logs").glob("*/journal.jsonl")).read_bytes()


@pytest.mark.parametrize(
    ("number", "status"),
    [(signal.SIGTERM, 143), (signal.SIGHUP, 129), (None, 0)],
    ids=["term", "hup", "ctrl-c"],
)
def test_signals_and_ctrl_c_in_a_walk_leave_a_sane_line_and_a_whole_journal(
    start: Start, place: Path, number: signal.Signals | None, status: int
) -> None:
    """Exit status 128 + n for a signal and 0 for a hand; every line that was written still folds."""
    line = start()
    opened(line)
    line.press("n")
    line.sees("Note")
    line.press(f"rack 2{ENTER}")
    line.sees("noted")
    line.press(CTRL_C) if number is None else line.signal(number)
    assert line.ends() == status
    assert line.sane()
    state = fold(journal(place)).state
    assert [note.text for note in state.notes] == ["rack 2"]


def test_a_fault_of_our_own_ends_with_1_a_sane_line_and_a_report(start: Start, place: Path) -> None:
    """An exception in a handler: exit status 1, words instead of a traceback, the report in the logs."""
    script = place / "broken.py"
    script.write_text(
        "import sys\n"
        "from pathlib import Path\n"
        "from runner.cli.app import run_app\n"
        "from runner.record.floor import Floor\n"
        "from runner.record.keys import Keys\n"
        "from runner.screens.board import BoardScreen\n"
        "def broken(self):\n"
        "    raise LookupError('made to fail')\n"
        "BoardScreen.action_help = broken\n"
        "sys.exit(run_app(Floor(Path('shop'), Keys())))\n",
        encoding="utf-8",
    )
    line = start(str(script))
    line.sees("No batch is open")
    line.press("?")
    assert line.ends() == 1
    assert line.sane()
    assert "stopped on a fault of its own" in line.sent
    assert "Traceback" not in line.sent
    assert "made to fail" in (place / "shop" / "logs" / "crash.txt").read_text(encoding="utf-8")


def in_the_tank(place: Path) -> None:
    """A rack that went into the nickel tank a moment ago; half an hour to go."""
    floor, now = Floor(place / "shop", Keys(place / "keys")), SystemClock().now()
    session = floor.roll.unlock("olive", PIN, now)
    batch = floor.open_batch(CARDED, sheet(NICKEL, FINAL), "irons", "C-1", session, now)
    floor.act(batch, do.Enter(), now)
    floor.close()


def test_a_walk_killed_in_mid_dwell_is_taken_up_with_its_time_running(start: Start, place: Path) -> None:
    """A kill loses nothing that was acknowledged; the next start counts the dwell from the same entry."""
    in_the_tank(place)
    line = start()
    line.sees("1 open batch", "lift in")
    line.press("1")
    signs(line, "Olive")
    line.sees("lift out in")
    line.press("n")
    line.sees("Note")
    line.press(f"before the power went{ENTER}")
    line.sees("noted")
    line.signal(signal.SIGKILL)
    assert line.ends() == -signal.SIGKILL
    again = start()
    again.sees("1 open batch", "lift in")
    again.press("1")
    signs(again, "Olive")
    again.sees("step 1 of 2", "lift out in")
    state = fold(journal(place)).state
    done = current_progress(state, SystemClock().now())
    assert state.run is not None
    assert done is not None
    assert [note.text for note in state.notes] == ["before the power went"]
    assert 0 < done.elapsed_s < 120
    minutes = next(row for row in again.look().split("\n") if "latest" in row)
    lift_at = datetime.fromtimestamp(state.run.entered.at_ms / 1000 + 1800, tz=UTC).astimezone()
    assert f"at {lift_at:%H:%M}" in minutes
    again.press("q")


def test_a_label_reader_opens_the_batch_and_a_hands_digit_still_does(start: Start, place: Path) -> None:
    """Bytes that come at once are a reader's: a number leads to its batch, one that nobody knows is said."""
    in_the_tank(place)
    line = start()
    line.sees("1 open batch")
    line.press(f"2026-0099{ENTER}")
    line.sees("no batch 2026-0099 is known")
    name = next((place / "shop" / "logs").glob("*/journal.jsonl")).parent.name
    line.press(f"{name}{ENTER}")
    line.sees(f"Take batch {name} in hand")
    line.press("f")
    line.sees("lift out in")
    line.press("b")
    line.sees("1 open batch")
    line.press("1")
    line.sees(f"Take batch {name} in hand")


@pytest.mark.parametrize(
    ("in_the_file", "asked", "big"),
    [("", ("--big",), True), ("big_print = true", (), True), ("big_print = true", ("--no-big",), False)],
    ids=["by the option", "by the shop", "not, by the option"],
)
def test_it_begins_in_big_print_where_that_is_asked_for_and_f3_ends_it(
    start: Start, place: Path, in_the_file: str, asked: tuple[str, ...], *, big: bool
) -> None:
    """The walk on 80 by 24 in letters of four rows, what can hurt still on it; the option wins."""
    file = place / "shop" / "procedures" / "shop.toml"
    file.write_text(f"{in_the_file}\n{file.read_text(encoding='utf-8')}", encoding="utf-8")
    in_the_tank(place)
    line = start("-m", "runner", "--shop", str(place / "shop"), *asked)
    line.sees("1 open batch")
    line.press("1")
    signs(line, "Olive")
    line.sees("READ AND ANSWER", "lift out in", "DANGER", "CHECK")
    line.until(lambda: ("▀▀█▀▀" in line.look()) is big, "it began as asked for")
    line.press("\x1bOR")
    line.until(lambda: ("▀▀█▀▀" in line.look()) is not big, "it was the other way")


def test_a_second_terminal_is_told_who_has_the_batch(start: Start) -> None:
    """One writer a batch: the other sees it on its board, and its digit says which process has it."""
    first = start()
    opened(first)
    second = start()
    second.sees("1 open batch", "in hand at another terminal")
    second.press("1")
    second.sees("process", str(first.child.pid))
    first.press("b")
    first.sees("1 open batch")
    first.press("q")
    assert first.ends() == 0
    second.press("1")
    signs(second, "Olive")
    second.sees("step 1 of 3")
