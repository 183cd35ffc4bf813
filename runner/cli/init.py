"""``tankwalk init``: a new shop folder with example files."""

from __future__ import annotations

from pathlib import Path

import click

from runner.cli.common import FINE, json_option, print_json, say
from runner.cli.example import make_shop


@click.command(name="init")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@json_option
def command(*, folder: Path, as_json: bool) -> int:
    """A new shop folder: an invented shop and its routes to start from, and empty logs.

    Nobody works in it yet: the app leads through making the owner, or `tankwalk people add` does. Records are
    kept for ever, unless keep_years under [limits] in shop.toml says for how long.
    """
    make_shop(folder)
    if as_json:
        print_json({"shop": str(folder)})
    else:
        say(f"{folder}: put your own tanks into procedures/shop.toml, then run: tankwalk --shop {folder}")
    return FINE
