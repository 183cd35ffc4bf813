"""``tankwalk practise``: the app on a practice walk, with faults thrown in by a seed, and a debrief."""

from __future__ import annotations

import secrets
import shutil
import textwrap
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from runner.batch.practice_faults import schedule
from runner.batch.practice_log import PracticeLog
from runner.cli.app import carry, require_terminal
from runner.cli.common import Quantity, part_options, said, say, shop_folder, shop_option
from runner.cli.plan import runnable
from runner.faults import InputFault, fault
from runner.procedure.plan import Order
from runner.procedure.reading import load_procedure
from runner.record import durable, practice_left
from runner.record.fold import FoldFault
from runner.record.journal_errors import JournalError
from runner.record.keys import Keys
from runner.record.layout import LOGS
from runner.record.lock import Held
from runner.record.moment import SystemClock
from runner.record.practice_clock import PracticeClock
from runner.record.practice_floor import PracticeFloor
from runner.record.practice_left import Left
from runner.record.practised import PractisedLedger
from runner.shop.reading import load_shop
from runner.text import shown
from runner.units import Kind

if TYPE_CHECKING:
    from runner.batch.moment import Moment
    from runner.procedure.model import Source
    from runner.procedure.sheet import Plan

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
@click.option(
    "--big/--no-big", default=None, help="Begin the walk in big print, or not; else as the shop says."
)
@part_options
@shop_option
def command(
    *,
    file: Path,
    area: float,
    pieces: int,
    seed: int | None,
    big: bool | None,
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

    source = procedure.source
    clock = SystemClock().now
    left = practice_left.find(folder / LOGS, plan, source.text, seed)
    if left is not None and not _goes_on(left):
        left = None
    try:
        floor, log, moments = (
            _begun(folder, plan, source, secrets.randbelow(SEEDS) if seed is None else seed, clock)
            if left is None
            else _taken_up(folder, left, clock)
        )
    except JournalError as error:
        raise InputFault(error.fault) from error
    asked = {step.number: step.ask_trainee for step in procedure.steps if step.ask_trainee}
    ledger = PractisedLedger(folder, Path(source.file).name, procedure.revision, Keys(), clock)
    big = standing.big_print if big is None else big
    app = PracticeApp(floor, moments, log, asked, ledger=ledger if ledger.people() else None, big=big)
    status = carry(app, floor)
    told = app.told()
    _say_wrapped(told)
    text = "\n".join(told) + "\n"
    durable.write_over(floor.batch_folder / DEBRIEF, text.encode())
    say("")
    if ledger.entered is not None:
        say(f"Entered in the route's ledger: practised by {shown(ledger.entered.name, 60)}")
    if floor.practised.phase.ended:
        practice_left.forget(floor.batch_folder)
    else:
        again = f"also --seed {app.noted.seed}, should another be left after it"
        _say_wrapped([f"It was left before its end: the same command takes it up again; give it {again}."])
    say(f"The practice batch and this debrief lie in {floor.batch_folder}")
    return status


def _say_wrapped(lines: Iterable[str]) -> None:
    """Lines of text by words in the width of the terminal, each under its own beginning."""
    width = shutil.get_terminal_size().columns
    for line in lines:
        hang = " " * (len(line) - len(line.lstrip()) + 2)
        for row in textwrap.wrap(line, width, subsequent_indent=hang, break_on_hyphens=False) or [""]:
            say(row)


Opened = tuple[PracticeFloor, PracticeLog, PracticeClock]


def _begun(folder: Path, plan: Plan, source: Source, seed: int, clock: Callable[[], Moment]) -> Opened:
    """A new practice."""
    start = clock()
    floor = PracticeFloor.new(folder, plan, Path(source.file).name, source.text, start)
    return floor, PracticeLog(seed, schedule(plan, seed)), PracticeClock(clock, start)


def _taken_up(folder: Path, left: Left, clock: Callable[[], Moment]) -> Opened:
    """A practice that was left, at the moment when it was left."""
    try:
        floor = PracticeFloor(folder, practice_left.take_up(left))
    except (Held, FoldFault) as error:
        raise fault(f"that practice cannot be taken up: {error}", "call again, and begin anew") from error
    return floor, left.log, PracticeClock.on_from(clock, left.state.last)


def _goes_on(left: Left) -> bool:
    """Whether a practice that was left is taken up again; one that is not is offered no more."""
    state = left.state
    at = state.step or state.upcoming
    place = f"at step {at.number} of {len(state.opened.plan.steps)}" if at else "before its release"
    say(f"{left.folder.name} of this route was left {place}; its seed is {left.log.seed}.")
    on = click.confirm("Go on with it? (no: begin anew)", default=True)
    if not on:
        practice_left.forget(left.folder)
    return on
