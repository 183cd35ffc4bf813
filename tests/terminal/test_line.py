"""The line that the program hangs on: its size, what comes in on it, its signals, its end, or none."""

from __future__ import annotations

import os
import pty
import select
import signal
import subprocess
import sys
import termios
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from support.terminal import COLUMNS, ROWS, WAIT_S, Line, surroundings

Start = Callable[..., Line]

F2 = "\x1bOQ"
"""Another theme: everything is drawn anew."""

STRAY = (
    b"\x1b[M !!",
    b"\x1b[<0;10;10M\x1b[<64;1;1m\x1b[<;;M\x1b[<9999999999;1;1M",
    b"\xff\xfe\x80\xc3\x28",
    b"\x1b[200~\x1b[31m\x1b[201~",
    b"\x1b[?1;2c\x1b[99;99R\x1b[?2048;0$y\x00",
    b"\x1b[113~\x1b[113;1~\x1b[113A\x1b[?113u\x1b]11;rgb:q\x07",
    b"\xf0\x9f",
)
"""Mouse reports whole and broken, no UTF-8, a pasted escape, answers that nobody asked for, and keys that no
keyboard has: 113 is the number of q."""

PASTE_ON = "\x1b[?2004h"
"""The last thing that is sent when a line is taken up."""


def test_it_shows_the_board_follows_the_size_and_leaves_a_sane_line(start: Start) -> None:
    """80 by 24, then 40 by 12 and back; q ends with 0, cursor, screen and echo as they were."""
    line = start()
    line.sees("Small floor (invented)", "No batch is open", "?  help")
    for columns, rows in ((40, 12), (120, 40), (80, 24)):
        line.resize(columns, rows)
        line.foot_says("help")
    line.quits()


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


def test_a_stray_key_in_pieces_is_none_and_escape_by_itself_is_one(start: Start) -> None:
    """Cut wherever a slow line cuts it, it leaves the board standing; escape alone leaves the help."""
    line = start()
    line.sees("No batch is open")
    for piece in ("\x1b", "[11", "3", "~"):
        line.press(piece)
    line.until(partial(_clock_went_on, line, line.look().split("\n")[0]), "the clock went on")
    line.press("?")
    line.sees("escape: back")
    line.press("\x1b")
    line.foot_says("help")
    line.quits()


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
        timeout=60,
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
    line.quits()


def test_a_signal_in_the_midst_of_a_repaint_waits_for_its_end(start: Start) -> None:
    """Told to go on again and again while it draws, it still ends when asked, whatever was cut into."""
    line = start()
    line.sees("No batch is open")
    for _ in range(25):
        line.press(F2)
        line.signal(signal.SIGCONT)
        line.look()
    line.until(partial(_asked_to_leave, line), "it ended")
    assert line.ends() == 0
    assert line.sane()


def _asked_to_leave(line: Line) -> bool:
    # Asked again: what is typed while the line is taken up anew is dropped with it.
    if line.child.isalive():
        line.press("q")
    line.look(0.5)
    return not line.child.isalive()


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
        assert child.wait(60) == 128 + signal.SIGHUP
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
        timeout=60,
        check=False,
    )
    os.close(other)
    os.close(end)
    assert child.returncode == 2
    assert b"needs a terminal" in child.stderr
