"""The real program under a pseudo-terminal: how it starts, how it ends, and what it leaves behind."""

from __future__ import annotations

import os
import pty
import select
import signal
import subprocess
import sys
import termios
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
from support.terminal import COLUMNS, ROWS, WAIT_S, Line, surroundings

Start = Callable[..., Line]

ENTER, ESCAPE, CTRL_C, DOWN = "\r", "\x1b", "\x03", "\x1b[B"


STRAY = (
    b"\x1b[M !!",
    b"\x1b[<0;10;10M\x1b[<64;1;1m\x1b[<;;M\x1b[<9999999999;1;1M",
    b"\xff\xfe\x80\xc3\x28",
    b"\x1b[200~\x1b[31m\x1b[201~",
    b"\x1b[?1;2c\x1b[99;99R\x1b[?2048;0$y\x00",
    b"\xf0\x9f",
)
"""Mouse reports whole and broken, no UTF-8, a pasted escape, answers that nobody asked for."""

PASTE_ON = "\x1b[?2004h"
"""The last thing that is sent when a line is taken up."""


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
    while name not in line.look():
        line.press(DOWN)
    line.press(PIN + ENTER)
    line.until(lambda: "another person" not in line.look() or what not in line.look(), "the PIN was taken")


def journal(place: Path) -> bytes:
    """The journal of the one batch."""
    return next((place / "shop" / "logs").glob("*/journal.jsonl")).read_bytes()


def test_it_shows_the_board_follows_the_size_and_leaves_a_sane_line(start: Start) -> None:
    """80 by 24, then 40 by 12 and back; q ends with 0, cursor, screen and echo as they were."""
    line = start()
    line.sees("Small floor (invented)", "No batch is open", "?  help")
    for columns, rows in ((40, 12), (120, 40), (80, 24)):
        line.resize(columns, rows)
        line.foot_says("help")
    line.press("q")
    assert line.ends() == 0
    assert line.sane()


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
    line.press(ESCAPE)
    line.sees("lift out in")
    line.press("b")
    line.sees("1 open batch")
    line.press("1")
    line.sees(f"Take batch {name} in hand")


def test_it_begins_in_big_print_where_that_is_asked_for_and_f3_ends_it(start: Start, place: Path) -> None:
    """The walk on 80 by 24 in letters of four rows, what can hurt still on it."""
    in_the_tank(place)
    line = start("-m", "runner", "--shop", str(place / "shop"), "--big")
    line.sees("1 open batch")
    line.press("1")
    signs(line, "Olive")
    line.sees("READ AND ANSWER", "▀▀█▀▀", "lift out in", "DANGER", "CHECK")
    line.press("\x1bOR")
    line.until(lambda: "▀▀█▀▀" not in line.look(), "it was small again")


def test_stray_bytes_on_the_line_do_not_end_it(start: Start) -> None:
    """Mouse reports, broken UTF-8, half sequences, a paste of escapes: the board stands and q leaves."""
    line = start()
    line.sees("No batch is open")
    for stray in STRAY:
        os.write(line.child.child_fd, stray)
        # Half a sequence takes what follows it at once for its other half; so each comes by itself.
        line.until(partial(_clock_went_on, line, line.look().split("\n")[0]), "the clock went on")
    line.sees("No batch is open")
    line.press("?")
    line.sees("The board")
    line.press("?")
    line.until(lambda: "The board" not in line.look(), "help was left")
    line.press("q")
    assert line.ends() == 0


@pytest.mark.parametrize("args", [(), ("demo",)], ids=["app", "demo"])
def test_without_a_terminal_it_says_so_plainly(place: Path, args: tuple[str, ...]) -> None:
    """Into a pipe no screen is drawn: one sentence, exit status 2."""
    done = subprocess.run(
        [sys.executable, "-m", "runner", *(args or ("--shop", str(place / "shop")))],
        env=surroundings(place),
        cwd=place,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=30,
        check=False,
    )
    assert done.returncode == 2
    assert "needs a terminal" in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


def until_the_board(end: int) -> None:
    """Give a bare line its size, and read from it until the board is up."""
    termios.tcsetwinsize(end, (ROWS, COLUMNS))
    seen = b""
    while b"No batch is open" not in seen:
        ready, _, _ = select.select([end], [], [], WAIT_S)
        assert ready, seen
        seen += os.read(end, 65536)


def test_a_line_that_hangs_up_loses_nothing(place: Path) -> None:
    """The window is closed: the program ends by itself, and lets go of the shop."""
    pid, end = pty.fork()
    if pid == 0:
        command = [sys.executable, "-m", "runner", "--shop", str(place / "shop")]
        os.execvpe(sys.executable, command, surroundings(place))  # noqa: S606  # the terminal must be its own
    until_the_board(end)
    os.close(end)
    _, status = os.waitpid(pid, 0)
    assert os.waitstatus_to_exitcode(status) == 128 + signal.SIGHUP


def _clock_went_on(line: Line, was: str) -> bool:
    return line.look().split("\n")[0] != was


def _taken_up(line: Line, times: int) -> bool:
    return bool(line.look()) and line.sent.count(PASTE_ON) == times


def test_a_program_that_was_stopped_goes_on_and_still_ends(start: Start) -> None:
    """Stopped from outside and let go on, or told to go on though it never stopped: it ends when asked.

    A line that hangs up sends the latter too.
    """
    line = start()
    line.sees("No batch is open")
    for stop in (None, signal.SIGSTOP):
        begun = line.sent.count(PASTE_ON)
        if stop:
            line.signal(stop)
        line.signal(signal.SIGCONT)
        line.until(partial(_taken_up, line, begun + 1), "the line was taken up")
    line.press("?")
    line.sees("escape: back")
    line.press("?")
    line.foot_says("help")
    line.press("q")
    assert line.ends() == 0
    assert line.sane()


def test_a_line_that_hangs_up_without_a_signal_ends_it_too(place: Path) -> None:
    """A program that is in a session of its own gets no signal; it sees that its line is gone."""
    end, other = pty.openpty()
    child = subprocess.Popen(
        [sys.executable, "-m", "runner", "--shop", str(place / "shop")],
        env=surroundings(place),
        stdin=other,
        stdout=other,
        stderr=other,
        start_new_session=True,
    )
    os.close(other)
    until_the_board(end)
    os.close(end)
    try:
        assert child.wait(20) == 128 + signal.SIGHUP
    finally:
        child.kill()
        child.wait()


def test_screens_are_drawn_into_no_file(place: Path) -> None:
    """The library draws on standard error: where that is no terminal the app says so and does not start."""
    end, other = pty.openpty()
    child = subprocess.run(
        [sys.executable, "-m", "runner", "--shop", str(place / "shop")],
        env=surroundings(place),
        stdin=other,
        stdout=other,
        stderr=subprocess.PIPE,
        timeout=20,
        check=False,
    )
    os.close(other)
    os.close(end)
    assert child.returncode == 2
    assert b"needs a terminal" in child.stderr


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
