"""``tankwalk check``: procedures against the format and the rules of the trade."""

from __future__ import annotations

from pathlib import Path

import click

from runner.cli.common import (
    FINE,
    NO,
    Quantity,
    json_option,
    part_options,
    print_json,
    said,
    say,
    shop_folder,
    shop_option,
)
from runner.faults import Fault, InputFault, fault
from runner.procedure.model import Procedure
from runner.procedure.reading import load_procedure
from runner.procedure.rules.check import Findings, check_procedure, finding_json, histories, stands
from runner.procedure.rules.rule import BatchFacts
from runner.procedure.surface_explain import explain
from runner.shop.finding import procedure_files
from runner.shop.model import Shop
from runner.shop.reading import load_shop
from runner.units import Kind


@click.command(name="check")
@click.argument("files", nargs=-1, type=click.Path(path_type=Path))
@shop_option
@click.option("--area", type=Quantity(Kind.AREA), help="Plated area of one piece, where parts are meant.")
@click.option("--pieces", type=click.IntRange(1), help="How many hang at once.")
@part_options
@click.option("--explain", "explained", is_flag=True, help="The surface of the part after each step too.")
@json_option
def command(
    *,
    files: tuple[Path, ...],
    area: float | None,
    pieces: int | None,
    strength: float | None,
    hollow: str | None,
    blind: str | None,
    shop: Path | None,
    explained: bool,
    as_json: bool,
) -> int:
    """Procedures against the format and the rules of the trade; without a file, every one of the shop.

    Rinses and dips are judged over all procedures of the shop. Exits 1 where a danger or ruin for the parts
    stands, 2 where a file does not hold to the format. With --area it is asked of parts as booking would ask
    it: what is not said of them is told as not known.
    """
    facts = BatchFacts(
        area, (pieces or 1) if area is not None else pieces, hollow=said(hollow), blind=said(blind)
    )
    folder = shop_folder(shop, files[0] if files else None)
    standing = load_shop(folder)
    wanted = list(files) or procedure_files(folder)
    if not wanted:
        raise fault(f"{folder} holds no procedure", "write one into its procedures folder")
    routes = _routes(wanted, standing)
    named = {file.resolve() for file in wanted}
    beside = [file for file in procedure_files(folder) if file.resolve() not in named]
    others, unread = _readable(beside, standing)
    found = {
        file: check_procedure(route, standing, facts, strength, (*routes.values(), *others))
        for file, route in routes.items()
    }
    if as_json:
        document = [{"file": str(file), "findings": list(map(finding_json, found[file]))} for file in found]
        if explained:
            for entry, file in zip(document, found, strict=True):
                entry["surface"] = _explained(routes[file], standing, facts)
        print_json({"files": document})
    else:
        for file, findings in found.items():
            _tell(file, findings, _explained(routes[file], standing, facts) if explained else [])
        for file in unread:
            say(f"{file}: not well formed, so what it shares with these was not looked at")
    return NO if any(stands(findings) for findings in found.values()) else FINE


def _routes(files: list[Path], shop: Shop) -> dict[Path, Procedure]:
    """Every file read, or every fault of every file."""
    routes: dict[Path, Procedure] = {}
    faults: list[Fault] = []
    for file in files:
        try:
            routes[file] = load_procedure(file, shop)
        except InputFault as wrong:
            faults += wrong.faults
    if faults:
        raise InputFault(*faults)
    return routes


def _readable(files: list[Path], shop: Shop) -> tuple[list[Procedure], list[Path]]:
    """The shop's other procedures, and those of them that cannot be read."""
    read: list[Procedure] = []
    unread: list[Path] = []
    for file in files:
        try:
            read.append(load_procedure(file, shop))
        except InputFault:
            unread.append(file)
    return read, unread


def _explained(route: Procedure, shop: Shop, facts: BatchFacts) -> list[str]:
    lines: list[str] = []
    for basis, history in histories(route, shop, facts).items():
        lines += [f"on {basis}:", *explain(history)]
    return lines


def _tell(file: Path, findings: Findings, surface: list[str]) -> None:
    say(f"{file}: {'nothing to say' if not findings else f'{len(findings)} to look at'}")
    for finding in findings:
        say(f"  {finding.severity:7} {finding.message}")
        say(f"          why      {finding.why}")
        say(f"          do       {finding.remedy}")
        say(f"          from     {finding.source} ({finding.known}); rule {finding.rule}")
    for line in surface:
        say(f"  {line}")
