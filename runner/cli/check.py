"""``tankwalk check``: procedures against the format."""

from __future__ import annotations

from pathlib import Path

import click

from runner.cli.common import FINE, json_option, print_json, say, shop_folder, shop_option
from runner.faults import InputFault, fault
from runner.procedure.reading import check_file
from runner.shop.finding import procedure_files
from runner.shop.reading import load_shop


@click.command(name="check")
@click.argument("files", nargs=-1, type=click.Path(path_type=Path))
@shop_option
@json_option
def command(*, files: tuple[Path, ...], shop: Path | None, as_json: bool) -> int:
    """Procedures against the format; without a file, every one of the shop.

    Exits 2 where a file does not hold to the format.
    """
    folder = shop_folder(shop, files[0] if files else None)
    standing = load_shop(folder)
    wanted = list(files) or procedure_files(folder)
    if not wanted:
        raise fault(f"{folder} holds no procedure", "write one into its procedures folder")
    faults = [found for file in wanted for found in check_file(file, standing)]
    if faults:
        raise InputFault(*faults)
    if as_json:
        print_json({"files": [{"file": str(file), "findings": []} for file in wanted]})
    else:
        for file in wanted:
            say(f"{file}: well formed")
    return FINE
