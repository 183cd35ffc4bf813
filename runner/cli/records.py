"""``tankwalk records``: find batch records, as a list, as CSV or as JSON."""

from __future__ import annotations

import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from runner.batch.moment import rfc3339
from runner.cli.bar import bar
from runner.cli.common import FINE, NO, json_option, print_json, say, shop_folder, shop_option
from runner.faults import fault
from runner.record import durable
from runner.record.asked_time import asked_time
from runner.record.csv_text import csv_text
from runner.record.failing import Failing, failing_of
from runner.record.index import Found, search
from runner.record.index_query import Listed, Wanted
from runner.record.layout import LOGS
from runner.record.moment import SystemClock


class Time(click.ParamType[str]):
    """A day, or a time with its zone; the command gets RFC 3339 in UTC."""

    name = "time"

    def __init__(self, *, day_after: bool) -> None:
        self.day_after = day_after

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        del ctx
        return asked_time(str(value), param.opts[0] if param else None, day_after=self.day_after)


@click.command(name="records")
@click.option("--from", "since", type=Time(day_after=False), help="Under way on this day or later.")
@click.option("--to", "until", type=Time(day_after=True), help="Under way on this day or earlier.")
@click.option("--customer", help="Words of the customer's name, in any case.")
@click.option("--part", help="Words of the part's name, in any case.")
@click.option("--procedure", help="Words of the procedure's title, in any case.")
@click.option("--revision", help="Of the procedure, exactly.")
@click.option("--person", help="Id or name: who signed anything of it or walked a step.")
@click.option("--tank", help="Id of a tank that it went through; with --from and --to, between those times.")
@click.option(
    "--deviation",
    is_flag=False,
    flag_value="",
    metavar="[WORD]",
    help="With a deviation that holds the word.",
)
@click.option("--open", "is_open", is_flag=True, help="Not ended.")
@click.option("--overdue", is_flag=True, help="Not ended, and something of it is late by now.")
@click.option("--failing", is_flag=True, help="Does not prove; each one found is proved, which takes time.")
@click.option(
    "--csv", "csv_file", metavar="FILE", help="Write a table for a spreadsheet; - for standard output."
)
@shop_option
@json_option
def command(*, shop: Path | None, as_json: bool, csv_file: str | None, failing: bool, **filters: Any) -> int:
    """Batch records, the newest first. Without a filter: those that ended.

    The list comes from an index of the journals and proves nothing: `tankwalk verify` does, and --failing
    asks it. Times are UTC. Exits 1 where --failing finds any.
    """
    if as_json and csv_file is not None:
        raise fault("--json and --csv are two forms of one list", "give one of them", "--csv")
    logs = shop_folder(shop) / LOGS
    wanted = Wanted(now=rfc3339(SystemClock().now().at_ms), **filters)
    with bar("reading journals") as told:
        found = search(logs, wanted, told)
    filtered = failing or any(value not in {None, False} for value in filters.values())
    batches = found.batches if filtered else tuple(one for one in found.batches if one.status != "open")
    proved: Failing | None = None
    if failing:
        with bar("proving") as told:
            proved = failing_of(logs, batches, told, everything=wanted == Wanted(now=wanted.now))
        batches = proved.batches
    if csv_file is not None:
        _write_csv(csv_file, csv_text([one._asdict() for one in batches], Listed._fields))
    elif as_json:
        print_json(_document(batches, found, wanted, proved))
    else:
        _print(batches, found, proved)
    return NO if proved is not None and (proved.batches or proved.ground) else FINE


def _document(
    batches: tuple[Listed, ...], found: Found, wanted: Wanted, proved: Failing | None
) -> dict[str, Any]:
    """One record a batch; what was asked for inside it stands with it."""
    records: list[dict[str, Any]] = [one._asdict() for one in batches]
    by_name = {record["batch"]: record for record in records}
    for asked, key, rows in (
        (wanted.tank is not None, "runs", found.runs),
        (wanted.deviation is not None, "deviations_found", found.deviations),
    ):
        for record in records if asked else ():
            record[key] = []
        for row in rows:
            if row.batch in by_name:
                by_name[row.batch][key].append({k: v for k, v in row._asdict().items() if k != "batch"})
    if proved is None:
        return {"records": records}
    for name, record in by_name.items():
        record["findings"] = [asdict(one) for one in proved.findings[name]]
    return {"records": records, "findings": [asdict(one) for one in proved.ground]}


def _print(batches: tuple[Listed, ...], found: Found, proved: Failing | None) -> None:
    for one in batches:
        late = f"  deviations: {one.deviations}" if one.deviations else ""
        say(f"{one.batch}  {one.outcome:<10} {one.ended}  {one.part}  {one.customer}  {one.by}{late}")
        for finding in proved.findings[one.batch] if proved else ():
            say(f"  NO  {finding.where}: {finding.what}")
    kept = {one.batch for one in batches}
    for run in found.runs:
        if run.batch in kept:
            left = run.left or "still in"
            say(f"{run.batch}  {run.tank}: {run.entered} to {left}  step {run.step}, {run.name}  {run.who}")
    for raised in found.deviations:
        if raised.batch in kept:
            came = raised.disposition or "not settled"
            where = f"{raised.batch}  deviation {raised.number}, step {raised.step}"
            say(f"{where}: {raised.what}: {raised.detail}; {came}")
    for finding in proved.ground if proved else ():
        say(f"NO  {finding.where}: {finding.what}")
    if not batches:
        say("every batch asked for proves" if proved else "no batch that fits has been recorded here yet")


def _write_csv(file: str, text: str) -> None:
    if file == "-":
        sys.stdout.write(text)
        return
    path = Path(file)
    if path.exists() and not path.is_file():
        raise fault("it is no plain file", "name a file to write", file)
    durable.write_over(path, text.encode("utf-8"))
