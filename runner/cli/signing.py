"""Who signs a command, and with which PIN.

A PIN comes from standard input or from a prompt that does not show it, and from nowhere else: an argument or
a variable can be read by whoever lists the machine's processes.
"""

from __future__ import annotations

import sys
from pathlib import Path

import click

from runner.batch.terms import Person
from runner.cli.common import terminal
from runner.faults import Fault, InputFault, fault
from runner.record.keys import LONGEST_PIN, KeyProblem, Keys
from runner.record.layout import LOGS
from runner.record.moment import SystemClock
from runner.record.roll import Roll
from runner.record.session import NotUnlocked, Session
from runner.shop.rights import Right, may
from runner.text import shown

PIN_STDIN = "--pin-stdin"
PIN_STDIN_HELP = "Take the PIN from the first line of standard input."


def shop_roll(folder: Path) -> Roll:
    """The roll of a shop.

    Raises:
        InputFault: Its journal does not prove.
    """
    roll = Roll(folder, folder / LOGS, Keys())
    if roll.problem is not None:
        raise fault(roll.problem, "put the folder back as it was")
    return roll


def who_may(roll: Roll, by: str | None, right: Right) -> Person:
    """The person named, or the only one whose role allows it.

    Raises:
        InputFault: Nobody may, several may and none is named, or the one named may not.
    """
    able = {one.id: one for one in roll.people() if may(one.role, right)}
    known = ", ".join(sorted(able)) or "nobody yet"
    what = right.replace("_", " ")
    if by is None and len(able) != 1:
        raise fault(f"{len(able)} people here may {what}", f"say who with --by: {known}")
    if by is not None and by not in able:
        raise fault(f"{shown(by, 40)!r} is nobody who may {what} here", f"who may: {known}", "--by")
    return able[by] if by is not None else next(iter(able.values()))


def unlocked(roll: Roll, person: Person, pin: str) -> Session:
    """A person's session.

    Raises:
        InputFault: The PIN is another, or the key is missing or damaged.
    """
    try:
        return roll.unlock(person.id, pin, SystemClock().now())
    except NotUnlocked as refused:
        problem = refused.__cause__
        if isinstance(problem, KeyProblem):
            raise InputFault(problem.fault) from refused
        raise InputFault(Fault(str(refused), "call the owner")) from refused


def signer_session(folder: Path, by: str | None, right: Right, *, pin_stdin: bool) -> Session:
    """The session that signs a command: who may, with the PIN from standard input or a hidden prompt."""
    need_terminal(pin_stdin=pin_stdin)
    roll = shop_roll(folder)
    person = who_may(roll, by, right)
    pin = pin_line(f"the PIN of {person.id}", "first") if pin_stdin else pin_asked(f"PIN of {person.id}")
    return unlocked(roll, person, pin)


def need_terminal(*, pin_stdin: bool) -> None:
    """A hidden prompt needs a terminal.

    Raises:
        InputFault: There is none, and standard input was not named.
    """
    if not pin_stdin and not terminal():
        raise fault("a PIN is typed at a terminal", f"run it in one, or give {PIN_STDIN} and the PIN there")


def pin_line(what: str, which: str) -> str:
    """One line of standard input, whatever bytes it holds; a PIN is checked for its digits later."""
    line = sys.stdin.buffer.readline(LONGEST_PIN + 2).decode("ascii", errors="replace").rstrip("\r\n")
    if not line:
        raise fault(f"{what} is missing", f"give it as the {which} line of standard input")
    return line


def pin_asked(prompt: str, *, again: bool = False) -> str:
    """A PIN from a prompt that does not show it."""
    typed: str = click.prompt(prompt, hide_input=True, confirmation_prompt=again, err=True)
    return typed
