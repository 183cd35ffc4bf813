"""``tankwalk archive``: pack records into one file that proves on its own, and let go of old ones."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from runner.cli.bar import bar
from runner.cli.common import FINE, NO, json_option, print_json, say, shop_folder, shop_option
from runner.cli.signing import PIN_STDIN, PIN_STDIN_HELP, signer_session
from runner.cli.verify import check_fingerprint
from runner.faults import fault
from runner.record.archive_delete import ARCHIVES, delete, due
from runner.record.archive_make import make
from runner.record.archive_verify import ArchiveVerdict, restore, verify_archive
from runner.record.layout import LOGS, SHOP_JOURNAL
from runner.record.moment import SystemClock
from runner.record.shop_fold import ShopFault
from runner.record.shop_reading import read_shop
from runner.shop.reading import load_shop

_path = click.Path(path_type=Path)
_owner_option = click.option("--owner", help="Fingerprint of the owner's key, from paper: SHA256:…")
_signers_option = click.option("--signers", type=_path, help="A list of signers kept outside the records.")


@click.group(name="archive")
def command() -> None:
    """Records in one file that proves on its own; what has been kept long enough."""


@command.command(name="make")
@click.argument("path", type=_path)
@click.argument("out", type=_path)
@click.option("--year", type=click.IntRange(1000, 9999), help="Every batch of this year that ended.")
@json_option
def make_archive(*, path: Path, out: Path, year: int | None, as_json: bool) -> int:
    """Pack a batch, or a year of a shop, into OUT (.zip or .tar), and prove it.

    PATH is a batch's folder; with --year a shop's folder or its logs. The same records give the same bytes.
    Exits 1 where the archive is made and what is in it does not prove.
    """
    logs, of = _meant(path, year)
    with bar("packing") as told:
        make(logs, of, out, told)
    with bar("proving") as told:
        verdict = verify_archive(out, told=told)
    return _say(verdict, as_json=as_json, archive=out)


@command.command(name="verify")
@click.argument("file", type=_path)
@_owner_option
@_signers_option
@json_option
def verify_file(*, file: Path, owner: str | None, signers: Path | None, as_json: bool) -> int:
    """Prove an archive, away from any shop. Exits 0 where all of it proves, 1 where something does not."""
    check_fingerprint(owner)
    with bar("proving") as told:
        verdict = verify_archive(file, owner, signers, told)
    return _say(verdict, as_json=as_json)


@command.command(name="restore")
@click.argument("file", type=_path)
@click.argument("folder", metavar="DIR", type=_path)
@_owner_option
@_signers_option
@json_option
def restore_file(*, file: Path, folder: Path, owner: str | None, signers: Path | None, as_json: bool) -> int:
    """Unpack an archive that proves into DIR, which is empty or not there yet.

    Of an archive that does not prove nothing is left in DIR, and the exit is 1.
    """
    check_fingerprint(owner)
    with bar("proving") as told:
        verdict = restore(file, folder, owner, signers, told)
    return _say(verdict, as_json=as_json, folder=folder if verdict.ok else None)


@command.command(name="due")
@shop_option
@json_option
def list_due(*, shop: Path | None, as_json: bool) -> int:
    """Batches that have been kept for as long as keep_years in shop.toml says."""
    folder = shop_folder(shop)
    keep_years = load_shop(folder).limits.keep_years
    try:
        found = due(read_shop(folder / LOGS), keep_years, SystemClock().now())
    except ShopFault as wrong:
        message = f"the shop's journal does not prove: {wrong.reason}"
        file = str(folder / LOGS / SHOP_JOURNAL)
        raise fault(message, "call the owner; change nothing", file, wrong.line) from wrong
    rows = [{"batch": one.batch, "ended": one.ended, "until": one.until} for one in found]
    if as_json:
        print_json({"keep_years": keep_years, "due": rows})
        return FINE
    for row in rows:
        say(f"{row['batch']}  ended {row['ended']}  kept until {row['until']}")
    if not rows:
        forever = "this shop keeps its records for ever (no keep_years under [limits] in shop.toml)"
        say("no batch has been kept long enough yet" if keep_years else forever)
    return FINE


@command.command(name="delete")
@click.argument("batch")
@click.option("--reason", required=True, help="Why it goes, for the shop's journal.")
@click.option("--by", help="Which owner; the only one if left out.")
@click.option(PIN_STDIN, "pin_stdin", is_flag=True, help=PIN_STDIN_HELP)
@shop_option
@json_option
def delete_batch(
    *, batch: str, reason: str, by: str | None, pin_stdin: bool, shop: Path | None, as_json: bool
) -> int:
    """Take away a batch that has been kept long enough. An archive of it stays in the shop's archive folder.

    The shop's journal keeps that it was there, who took it away, when and why.
    """
    folder = shop_folder(shop)
    keep_years = load_shop(folder).limits.keep_years
    session = signer_session(folder, by, "delete_records", pin_stdin=pin_stdin)
    archive = delete(folder, batch, reason, keep_years, session, SystemClock().now())
    if as_json:
        print_json({"deleted": batch, "archive": str(archive)})
    else:
        say(f"{batch} is deleted; its archive: {archive}")
        say(f"copy {ARCHIVES} to where it is kept, if anybody may still ask")
    return FINE


def _meant(path: Path, year: int | None) -> tuple[Path, str]:
    """The folder of logs, and what of it."""
    folder = path.resolve()
    if year is None:
        return folder.parent, f"batch {folder.name}"
    return (folder if (folder / SHOP_JOURNAL).exists() else folder / LOGS), f"year {year}"


def _say(verdict: ArchiveVerdict, *, as_json: bool, **places: Path | None) -> int:
    named: dict[str, Any] = {name: str(place) for name, place in places.items() if place is not None}
    if as_json:
        print_json(
            {
                **named,
                "ok": verdict.ok,
                "trust": verdict.trust,
                "of": verdict.manifest.of if verdict.manifest else None,
                "findings": [{"what": found.what, "where": found.where} for found in verdict.findings],
                "batches": [
                    {"batch": proof.batch, "status": proof.status, "notes": list(proof.notes)}
                    for proof in verdict.batches
                ],
                "notes": list(verdict.notes),
            }
        )
        return FINE if verdict.ok else NO
    for proof in verdict.batches:
        say(f"{proof.batch}: {proof.status}")
    for note in verdict.notes:
        say(f"  note: {note}")
    for found in verdict.findings:
        say(f"NO  {found.where}: {found.what}")
    for name, place in named.items():
        say(f"{name}: {place}")
    say(f"{'proves' if verdict.ok else 'does not prove'}; trust: {verdict.trust}")
    return FINE if verdict.ok else NO
