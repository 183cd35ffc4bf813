"""``tankwalk practise``: the app on a practice walk, with faults thrown in by a seed, and a debrief."""

from __future__ import annotations

import secrets
from pathlib import Path

import click

from runner.batch.practice_faults import schedule
from runner.batch.practice_log import PracticeLog
from runner.cli.app import carry, require_terminal
from runner.cli.common import Quantity, part_options, said, say, shop_folder, shop_option
from runner.cli.plan import runnable
from runner.faults import InputFault
from runner.procedure.plan import Order
from runner.procedure.reading import load_procedure
from runner.record import durable
from runner.record.journal_errors import JournalError
from runner.record.keys import Keys
from runner.record.moment import SystemClock
from runner.record.practice_clock import PracticeClock
from runner.record.practice_floor import PracticeFloor
from runner.record.practised import PractisedLedger
from runner.shop.reading import load_shop
from runner.text import shown
from runner.units import Kind

AREA_DM2, PIECES = 4.0, 2
"""Parts that are not there (invented)."""

SEEDS = 10_000
"""Seeds that are drawn where none is given: short enough to be told by mouth."""

DEBRIEF = "debrief.txt"


@click.command(name="practise")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--area", type=Quantity(Kind.AREA), default=AREA_DM2, help="Plated area of one piece.")
@click.option("--pieces", type=int, default=PIECES)
@click.option("--seed", type=click.IntRange(min=0), help="Chooses the faults; the same seed, the same walk.")
@click.option("--big", is_flag=True, help="Begin the walk in big print; F3 changes it.")
@part_options
@shop_option
def command(
    *,
    file: Path,
    area: float,
    pieces: int,
    seed: int | None,
    big: bool,
    strength: float | None,
    hollow: str | None,
    blind: str | None,
    shop: Path | None,
) -> int:
    """A walk to learn on: the real route, no parts, a clock that hurries, faults thrown in, a debrief."""
    folder = shop_folder(shop, file)
    standing = load_shop(folder)
    procedure = load_procedure(file, standing)
    order = Order(area, pieces, strength_mpa=strength, hollow=said(hollow), blind=said(blind))
    plan = runnable(procedure, standing, order)
    require_terminal()
    from runner.screens.practice_app import PracticeApp  # noqa: PLC0415  # the screens load only here

    seed = secrets.randbelow(SEEDS) if seed is None else seed
    start = SystemClock().now()
    source = procedure.source
    try:
        floor = PracticeFloor(folder, plan, Path(source.file).name, source.text, start)
    except JournalError as error:
        raise InputFault(error.fault) from error
    clock = PracticeClock(SystemClock().now, start)
    asked = {step.number: step.ask_trainee for step in procedure.steps if step.ask_trainee}
    ledger = PractisedLedger(folder, Path(source.file).name, procedure.revision, Keys(), SystemClock().now)
    app = PracticeApp(
        floor,
        clock,
        PracticeLog(seed, schedule(plan, seed)),
        asked,
        ledger=ledger if ledger.people() else None,
        big=big,
    )
    status = carry(app, floor)
    told = app.told()
    for line in told:
        say(line)
    text = "\n".join(told) + "\n"
    durable.write_new(floor.batch_folder / DEBRIEF, text.encode())
    say("")
    if ledger.entered is not None:
        say(f"Entered in the route's ledger: practised by {shown(ledger.entered.name, 60)}")
    say(f"The practice batch and this debrief lie in {floor.batch_folder}")
    return status
