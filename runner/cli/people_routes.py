"""``tankwalk people routes``: who is able to walk which route, and a chargehand's word for it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from runner.batch.moment import rfc3339
from runner.cli.common import FINE, json_option, print_json, say, shop_folder, shop_option
from runner.cli.signing import PIN_STDIN, PIN_STDIN_HELP, shop_roll, signer_session
from runner.faults import InputFault, fault
from runner.procedure.reading import load_procedure
from runner.record import ledger_book
from runner.record.journal_errors import JournalError
from runner.record.layout import LOGS
from runner.record.ledger import begun
from runner.record.ledger_events import LedgerEvent, RoutePractised, RouteSignedOff, RouteWithdrawn
from runner.record.lock import Held
from runner.record.moment import SystemClock
from runner.shop.reading import load_shop
from runner.text import shown

_PARAMETERS = (
    click.argument("who", metavar="ID"),
    click.argument("file", type=click.Path(path_type=Path)),
    click.option("--by", help="Which chargehand signs it; the only one who may if left out."),
    click.option(PIN_STDIN, "pin_stdin", is_flag=True, help=PIN_STDIN_HELP),
    shop_option,
    json_option,
)


def _line(function: Callable[..., int]) -> Callable[..., int]:
    """What every command asks that writes a line of the ledger: of whom, which route, and who signs."""
    for parameter in reversed(_PARAMETERS):
        function = parameter(function)
    return function


@click.group(name="routes")
def command() -> None:
    """Who practised a route, walked it supervised, and is signed off for it.

    A route's ledger begins with the first person signed off for it. From then on an operator who is not
    signed off for its revision walks it with a chargehand's PIN at each hold point. A route for which nobody
    was ever signed off is walked as in a shop that keeps no ledger.
    """


@command.command(name="list")
@shop_option
@json_option
def list_routes(*, shop: Path | None, as_json: bool) -> int:
    """Everybody with every route of the ledger."""
    folder = shop_folder(shop)
    state = shop_roll(folder).state
    rows = [
        {
            "id": one.id,
            "file": one.file,
            "revision": one.revision,
            "practised": one.practised,
            "supervised": one.supervised,
            "signed_off_by": one.signed_off.by if one.signed_off else None,
            "signed_off_at": rfc3339(one.signed_off.at_ms) if one.signed_off else None,
            "begun": begun(state, one.file),
        }
        for one in (ledger_book.able(state, folder / LOGS) if state else ())
        if state is not None
    ]
    if as_json:
        print_json({"routes": rows})
        return FINE
    if not rows:
        say("no route has a ledger: everybody whose role allows it walks every route")
    for row in rows:
        by = f"signed off by {row['signed_off_by']}" if row["signed_off_by"] else "not signed off"
        route = f"{shown(str(row['file']), 40)} rev {shown(str(row['revision']), 20)}"
        counts = f"practised {row['practised']}, supervised {row['supervised']}"
        say(f"{route}  {row['id']}  {counts}, {by}")
    return FINE


def _of_a_revision(name: str, kind: type[RouteSignedOff | RoutePractised], says: str) -> None:
    """A command for a line that tells of somebody and the revision that a procedure's file has now."""

    @command.command(name=name, help=says)
    @_line
    def told(
        *, who: str, file: Path, by: str | None, pin_stdin: bool, shop: Path | None, as_json: bool
    ) -> int:
        folder, route, revision = _route(shop, file)
        return _told(folder, kind(who, route, revision), by, pin_stdin=pin_stdin, as_json=as_json)


_of_a_revision(
    "sign-off",
    RouteSignedOff,
    "A chargehand stands for it that somebody can walk a route, by its revision, by themselves.",
)
_of_a_revision(
    "practised",
    RoutePractised,
    "A chargehand saw somebody practise a route to its end.",
)


@command.command(name="withdraw")
@_line
@click.option("--revision", help="Of which they were signed off; that of the file if left out.")
@click.option("--reason", required=True, help="Why; it stands in the shop's journal.")
def withdraw(
    *,
    who: str,
    file: Path,
    revision: str | None,
    reason: str,
    by: str | None,
    pin_stdin: bool,
    shop: Path | None,
    as_json: bool,
) -> int:
    """From now on somebody walks a route only with a chargehand again."""
    folder, name, now = (shop_folder(shop, file), file.name, revision) if revision else _route(shop, file)
    told = RouteWithdrawn(who, name, now, reason)
    return _told(folder, told, by, pin_stdin=pin_stdin, as_json=as_json)


def _route(shop: Path | None, file: Path) -> tuple[Path, str, str]:
    """The shop's folder, the procedure's file by its name alone, and its revision."""
    folder = shop_folder(shop, file)
    return folder, file.name, load_procedure(file, load_shop(folder)).revision


def _told(folder: Path, event: LedgerEvent, by: str | None, *, pin_stdin: bool, as_json: bool) -> int:
    session = signer_session(folder, by, "sign_off", pin_stdin=pin_stdin)
    try:
        ledger_book.write(folder / LOGS, event, session, SystemClock().now())
    except JournalError as error:
        raise InputFault(error.fault) from error
    except Held as held:
        raise fault(f"another terminal writes the shop's journal ({held.by})", "try again") from held
    if as_json:
        told = {"id": event.id, "file": event.file, "revision": event.revision, "by": session.person.id}
        print_json({"told": event.kind, **told})
    else:
        say(f"{event.id}: {event.kind}, {shown(event.file, 60)} revision {shown(event.revision, 20)}")
    return FINE
