"""``tankwalk people``: who works here, and adding somebody with a key of their own.

A PIN comes from standard input or from a prompt that does not show it, and from nowhere else: an argument or
a variable can be read by whoever lists the machine's processes.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import get_args

import click

from runner.batch.events import Person
from runner.cli.common import FINE, json_option, print_json, say, shop_folder, shop_option, terminal
from runner.faults import Fault, InputFault, fault
from runner.record.keys import LONGEST_PIN, KeyProblem, Keys, check_pin
from runner.record.moment import SystemClock
from runner.record.roll import CannotAdd, Roll
from runner.record.session import NotUnlocked, Session
from runner.record.sshsig import fingerprint
from runner.shop.finding import LOGS
from runner.shop.rights import Role, may
from runner.text import shown

_PIN_STDIN = "--pin-stdin"


@click.group(name="people")
def command() -> None:
    """Who works here, and their keys."""


@command.command(name="list")
@shop_option
@json_option
def list_people(*, shop: Path | None, as_json: bool) -> int:
    """Everybody on the shop's roll, with the fingerprint of their key."""
    roll = _roll(shop_folder(shop))
    rows = [
        {
            "id": one.id,
            "name": one.name,
            "role": one.role,
            "active": one.active,
            "fingerprint": fingerprint(one.key) if one.key else None,
        }
        for one in (roll.state.people.values() if roll.state else ())
    ]
    if as_json:
        print_json({"people": rows})
    elif not rows:
        say("nobody is on the roll yet: tankwalk people add ID --name NAME --role owner")
    for row in rows if not as_json else ():
        say(f"{row['id']}  {row['name']}, {row['role']}  {row['fingerprint'] or 'left'}")
    return FINE


@command.command(name="add")
@click.argument("who", metavar="ID")
@click.option("--name", required=True, help="As it is printed on records.")
@click.option("--role", required=True, type=click.Choice(get_args(Role)))
@click.option("--by", help="Which owner adds them; the only one if left out.")
@click.option(
    _PIN_STDIN,
    "pin_stdin",
    is_flag=True,
    help="First line of standard input: the new PIN. Second, where the shop has an owner: the owner's.",
)
@shop_option
@json_option
def add(
    *, who: str, name: str, role: Role, by: str | None, pin_stdin: bool, shop: Path | None, as_json: bool
) -> int:
    """Add somebody with a new key under their PIN; the first person is the owner.

    The key stays on this machine. A PIN has at least six digits.
    """
    roll = _roll(shop_folder(shop))
    if not pin_stdin and not terminal():
        raise fault("a PIN is typed at a terminal", f"run it in one, or give {_PIN_STDIN} and the PIN there")
    owner = _owner(roll, by)
    pin = _line("the new PIN", "first") if pin_stdin else _asked(f"New PIN of {shown(who, 32)}", again=True)
    check_pin(pin)
    now = SystemClock().now()
    session: Session | None = None
    if owner is not None:
        own = _line(f"the PIN of {owner.id}", "second") if pin_stdin else _asked(f"PIN of {owner.id}")
        session = _unlocked(roll, owner, own)
    try:
        made = roll.add(who, name, role, pin, session, now)
    except InputFault as wrong:
        # Told as of a file that holds people; here it was an option.
        raise InputFault(*(replace(told, file=None, line=None) for told in wrong.faults)) from wrong
    except CannotAdd as refused:
        raise fault(str(refused), "mend that and call again") from refused
    if as_json:
        print_json({"id": who, "name": name, "role": role, "fingerprint": made})
        return FINE
    say(f"{who}, {role}: {made}")
    if role == "owner":
        say("write the owner's fingerprint on paper: with it the shop's records are proved anywhere")
    return FINE


def _roll(folder: Path) -> Roll:
    roll = Roll(folder, folder / LOGS, Keys())
    if roll.problem is not None:
        raise fault(roll.problem, "put the folder back as it was")
    return roll


def _owner(roll: Roll, by: str | None) -> Person | None:
    """Who signs the new line: the owner named, or the only one; None in a shop that has nobody yet."""
    if roll.state is None:
        if by is not None:
            raise fault("nobody is on the roll yet", "leave --by out: the first person is the owner")
        return None
    owners = {one.id: one for one in roll.people() if may(one.role, "manage_people")}
    known = ", ".join(sorted(owners))
    if by is None and len(owners) != 1:
        raise fault(f"the shop has {len(owners)} owners", f"say which with --by: {known}")
    if by is not None and by not in owners:
        raise fault(f"{shown(by, 40)!r} is no owner of this shop", f"owners: {known}", "--by")
    return owners[by] if by is not None else next(iter(owners.values()))


def _unlocked(roll: Roll, owner: Person, pin: str) -> Session:
    try:
        return roll.unlock(owner.id, pin, SystemClock().now())
    except NotUnlocked as refused:
        problem = refused.__cause__
        if isinstance(problem, KeyProblem):
            raise InputFault(problem.fault) from refused
        raise InputFault(Fault(str(refused), "call the owner")) from refused


def _line(what: str, which: str) -> str:
    """One line of standard input, whatever bytes it holds; a PIN is checked for its digits later."""
    line = sys.stdin.buffer.readline(LONGEST_PIN + 2).decode("ascii", errors="replace").rstrip("\r\n")
    if not line:
        raise fault(f"{what} is missing", f"give it as the {which} line of standard input")
    return line


def _asked(prompt: str, *, again: bool = False) -> str:
    typed: str = click.prompt(prompt, hide_input=True, confirmation_prompt=again, err=True)
    return typed
