"""``tankwalk records``: list batch records."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from runner.cli.common import FINE, json_option, print_json, say, shop_folder, shop_option
from runner.record.layout import LOGS
from runner.record.listing import listed


@click.command(name="records")
@shop_option
@json_option
def command(*, shop: Path | None, as_json: bool) -> int:
    """Released and abandoned batches, the newest first. The list proves nothing: `tankwalk verify` does."""
    folder = shop_folder(shop)
    records = listed(folder / LOGS)
    if as_json:
        print_json({"records": [asdict(one) for one in records]})
        return FINE
    for one in records:
        say(f"{one.batch}  {one.outcome:<10} {one.ended}  {one.part}  {one.customer}  {one.by}")
    if not records:
        say("no batch has been released here yet")
    return FINE
