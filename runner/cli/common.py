"""What the commands share: their options, how quantities are typed, how JSON and tables are printed."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from runner.faults import Fault, InputFault
from runner.text import shown
from runner.units import Hardness, Kind, read

FINE, NO, WRONG = 0, 1, 2
"""Exit statuses: fine; it ran and the answer is no; the input or the call is wrong."""

Command = TypeVar("Command", bound=Callable[..., Any])


class Quantity(click.ParamType[float]):
    """An option whose text is a quantity with a unit; the command gets a float in the canonical unit."""

    def __init__(self, kind: Kind, hardness: Hardness | None = None, *, zero: bool = False) -> None:
        self.name = str(kind)
        self.kind = kind
        self.hardness = hardness
        self.zero = zero

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        del ctx
        if isinstance(value, float):
            return value
        name = param.opts[0] if param is not None and param.opts else None
        try:
            figure = read(value, self.kind, self.hardness)
        except InputFault as error:
            raise InputFault(*(fault.at(name) for fault in error.faults)) from error
        if figure == 0 and not self.zero:
            raise InputFault(Fault(f"no {self.kind} is zero here", "give the real figure", name))
        return figure


shop_option = click.option(
    "--shop",
    type=click.Path(path_type=Path),
    default=None,
    metavar="DIR",
    help="The shop's folder; else TANKWALK_SHOP, else the nearest one above, else here.",
)


def said(value: str | None) -> bool | None:
    """What a yes-or-no option was told; None where it was left out."""
    return None if value is None else value == "yes"


def part_options(command: Command) -> Command:
    """Options for what is known of the parts: strength, closed hollows, blind holes."""
    from runner.plating.bake import strength_of_hardness  # noqa: PLC0415  # the table only where it is asked for

    for option in (
        click.option("--blind", type=click.Choice(["yes", "no"]), help="Blind holes or cups on the parts."),
        click.option("--hollow", type=click.Choice(["yes", "no"]), help="Closed hollows in the parts."),
        click.option(
            "--strength", type=Quantity(Kind.STRENGTH, strength_of_hardness), help="Of the steel, or HRC 45."
        ),
    ):
        command = option(command)
    return command


json_option = click.option("--json", "as_json", is_flag=True, help="One JSON document on standard output.")


def shop_folder(shop: Path | None, file: Path | None = None) -> Path:
    """The folder of the shop that a call means: by option, by variable, above a file, or here."""
    from runner.shop.finding import find_shop  # noqa: PLC0415  # loads the shop room only where it is asked

    named = shop or click.get_current_context().find_root().obj
    return find_shop(named, os.environ.get("TANKWALK_SHOP"), file)


def print_json(document: Any) -> None:
    """One JSON document, and nothing else, on standard output.

    In ASCII: what a file's name or text holds then reaches no terminal as it is, and any locale prints it.
    """
    sys.stdout.write(json.dumps(document, allow_nan=False, indent=1) + "\n")


def terminal() -> bool:
    """Whether somebody sits before both standard input and standard output."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def say(line: str) -> None:
    """One line of plain text on standard output."""
    sys.stdout.write(shown(line, longest=10_000) + "\n")
