"""``tankwalk approve``: a procedure's revision, signed."""

from __future__ import annotations

from pathlib import Path

import click

from runner.cli.common import FINE, json_option, print_json, say, shop_folder, shop_option
from runner.cli.signing import PIN_STDIN_HELP, signer_session
from runner.faults import InputFault, fault
from runner.procedure.reading import load_procedure
from runner.record.approval import approve, standing_of
from runner.record.journal_errors import JournalError
from runner.record.layout import LOGS
from runner.record.lock import Held
from runner.record.moment import SystemClock
from runner.shop.reading import load_shop


@click.command(name="approve")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--by", help="Who approves it; the only one who may if left out.")
@click.option("--pin-stdin", "pin_stdin", is_flag=True, help=PIN_STDIN_HELP)
@shop_option
@json_option
def command(*, file: Path, by: str | None, pin_stdin: bool, shop: Path | None, as_json: bool) -> int:
    """Approve a procedure's file as it is now, under the revision that it names.

    From then on only this very text can be walked; a change needs a new revision and a new approval.
    """
    folder = shop_folder(shop, file)
    procedure = load_procedure(file, load_shop(folder))
    session = signer_session(folder, by, "approve", pin_stdin=pin_stdin)
    source = procedure.source
    try:
        state = approve(
            folder / LOGS,
            file.name,
            procedure.title,
            procedure.revision,
            source.sha256,
            session,
            SystemClock().now(),
        )
    except JournalError as error:
        raise InputFault(error.fault) from error
    except Held as held:
        raise fault(f"another terminal writes the shop's journal ({held.by})", "try again") from held
    standing = standing_of(state, file.name, source.sha256)
    if as_json:
        print_json(
            {
                "file": file.name,
                "revision": procedure.revision,
                "sha256": source.sha256,
                "by": session.person.id,
                "standing": standing,
            }
        )
    else:
        say(f"{file.name}: {standing}")
    return FINE
