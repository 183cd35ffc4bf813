"""``tankwalk people``: who works here, and adding or changing somebody with a key of their own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import get_args

import click

from runner.cli import people_routes
from runner.cli.common import FINE, json_option, print_json, say, shop_folder, shop_option
from runner.cli.signing import (
    PIN_STDIN,
    need_terminal,
    pin_asked,
    pin_line,
    shop_roll,
    signer_session,
    unlocked,
    who_may,
)
from runner.faults import InputFault, fault
from runner.record.keys import check_pin
from runner.record.moment import SystemClock
from runner.record.roll import CannotAdd
from runner.record.session import Session
from runner.record.sshsig import fingerprint
from runner.shop.rights import Role
from runner.text import shown


@click.group(name="people")
def command() -> None:
    """Who works here, and their keys."""


command.add_command(people_routes.command)


@command.command(name="list")
@shop_option
@json_option
def list_people(*, shop: Path | None, as_json: bool) -> int:
    """Everybody on the shop's roll, with the fingerprint of their key."""
    roll = shop_roll(shop_folder(shop))
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
    PIN_STDIN,
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
    roll = shop_roll(shop_folder(shop))
    need_terminal(pin_stdin=pin_stdin)
    if roll.state is None and by is not None:
        raise fault("nobody is on the roll yet", "leave --by out: the first person is the owner")
    owner = who_may(roll, by, "manage_people") if roll.state is not None else None
    asks = f"New PIN of {shown(who, 32)}"
    pin = pin_line("the new PIN", "first") if pin_stdin else pin_asked(asks, again=True)
    check_pin(pin)
    now = SystemClock().now()
    session: Session | None = None
    if owner is not None:
        asks = f"PIN of {owner.id}"
        own = pin_line(f"the {asks}", "second") if pin_stdin else pin_asked(asks)
        session = unlocked(roll, owner, own)
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


@command.command(name="change")
@click.argument("who", metavar="ID")
@click.option("--name", help="Another name.")
@click.option("--role", type=click.Choice(get_args(Role)), help="Another role.")
@click.option("--leave", is_flag=True, help="They work here no more: their key signs nothing from now on.")
@click.option("--return", "come_back", is_flag=True, help="They work here again, with a new key.")
@click.option("--new-key", is_flag=True, help="A new key under a new PIN: PIN forgotten, key lost or copied.")
@click.option("--by", help="Which owner signs it; the only one if left out.")
@click.option(
    PIN_STDIN,
    "pin_stdin",
    is_flag=True,
    help="First line of standard input: the owner's PIN. Second, with a new key: the new PIN.",
)
@shop_option
@json_option
def change(
    *,
    who: str,
    name: str | None,
    role: Role | None,
    leave: bool,
    come_back: bool,
    new_key: bool,
    by: str | None,
    pin_stdin: bool,
    shop: Path | None,
    as_json: bool,
) -> int:
    """Change a name or role, suspend somebody, or give them a new key; signed by an owner.

    Records signed before still prove: which key was whose, and when, is judged by the shop's journal.
    """
    if leave and (new_key or come_back):
        raise fault("somebody who leaves gets no key", "give --leave alone, or leave it out")
    if not (name or role or leave or come_back or new_key):
        raise fault("nothing to change", "see tankwalk people change --help")
    folder = shop_folder(shop)
    owner = signer_session(folder, by, "manage_people", pin_stdin=pin_stdin)
    pin = None
    if new_key or come_back:
        pin = pin_line("the new PIN", "second") if pin_stdin else pin_asked(f"New PIN of {who}", again=True)
        check_pin(pin)
    roll = shop_roll(folder)
    try:
        made = roll.change(who, owner, SystemClock().now(), name=name, role=role, active=not leave, pin=pin)
    except CannotAdd as refused:
        raise fault(str(refused), "mend that and call again") from refused
    if as_json:
        print_json({"id": who, "fingerprint": made, "active": not leave})
    else:
        say(f"{who}: {'works here no more' if leave else made}")
    return FINE
