"""``tankwalk rehearse``: a whole walk on a fast clock, without a screen."""

from __future__ import annotations

from pathlib import Path

import click

from runner.cli.common import (
    FINE,
    Quantity,
    json_option,
    part_options,
    print_json,
    said,
    say,
    shop_folder,
    shop_option,
)
from runner.cli.example import LOGS
from runner.cli.plan import runnable
from runner.faults import InputFault
from runner.procedure.plan import Order
from runner.procedure.reading import load_procedure
from runner.record.journal_errors import JournalError
from runner.record.layout import PRACTICE_RECORD_NAMESPACE
from runner.record.moment import SystemClock
from runner.record.rehearse import rehearse
from runner.shop.reading import load_shop
from runner.units import Kind


@click.command(name="rehearse")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--area", type=Quantity(Kind.AREA), required=True, help="Plated area of one piece.")
@click.option("--pieces", type=int, required=True)
@part_options
@shop_option
@json_option
def command(
    *,
    file: Path,
    area: float,
    pieces: int,
    strength: float | None,
    hollow: str | None,
    blind: str | None,
    shop: Path | None,
    as_json: bool,
) -> int:
    """A whole walk on a fast clock, into logs/practice; its record verifies and is none of production's."""
    folder = shop_folder(shop, file)
    standing = load_shop(folder)
    procedure = load_procedure(file, standing)
    order = Order(area, pieces, strength_mpa=strength, hollow=said(hollow), blind=said(blind))
    plan = runnable(procedure, standing, order)
    source = procedure.source
    try:
        made = rehearse(
            folder / LOGS, plan, standing.title, Path(source.file).name, source.text, SystemClock().now()
        )
    except JournalError as error:
        raise InputFault(error.fault) from error
    if as_json:
        print_json(
            {
                "record": str(made.record),
                "signature": str(made.signature),
                "journal": str(made.journal),
                "signer": made.signer,
                "allowed_signers": str(made.allowed_signers),
                "namespace": PRACTICE_RECORD_NAMESPACE,
            }
        )
    else:
        say(f"rehearsed: {made.record}")
        say(f"prove it:  tankwalk verify {made.record.parent}")
    return FINE
