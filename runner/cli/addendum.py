"""``tankwalk addendum``: something signed beside a sealed record."""

from __future__ import annotations

from pathlib import Path

import click

from runner.cli.common import FINE, json_option, print_json, say, shop_folder, shop_option
from runner.cli.signing import PIN_STDIN_HELP, signer_session
from runner.faults import InputFault, fault
from runner.record import addendum
from runner.record.journal_errors import JournalError
from runner.record.layout import LOGS
from runner.record.lock import Held
from runner.record.moment import SystemClock


@click.command(name="addendum")
@click.argument("batch")
@click.option("--text", required=True, help="What is to be said beside the record.")
@click.option("--by", help="Who signs it; the only one who may if left out.")
@click.option("--pin-stdin", "pin_stdin", is_flag=True, help=PIN_STDIN_HELP)
@shop_option
@json_option
def command(
    *, batch: str, text: str, by: str | None, pin_stdin: bool, shop: Path | None, as_json: bool
) -> int:
    """Add something to a sealed batch, in a signed file of its own. The record stays as it was."""
    folder = shop_folder(shop)
    session = signer_session(folder, by, "release", pin_stdin=pin_stdin)
    try:
        path = addendum.add(folder / LOGS, batch, text, session, SystemClock().now())
    except JournalError as error:
        raise InputFault(error.fault) from error
    except Held as held:
        raise fault(f"another terminal writes the shop's journal ({held.by})", "try again") from held
    if as_json:
        print_json({"addendum": str(path), "by": session.person.id})
    else:
        say(f"signed: {path}")
    return FINE
