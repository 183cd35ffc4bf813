"""The table of commands, and what every one of them does about errors."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from runner import __version__
from runner.cli.common import NO, WRONG, print_json, shop_option
from runner.faults import Fault, InputFault
from runner.text import shown

COMMANDS = {
    "addendum": "something signed beside a sealed record",
    "approve": "a procedure's revision, signed",
    "archive": "records in one file that proves on its own",
    "check": "procedures against the format and the rules of the trade",
    "demo": "the app on a fresh copy of the demo shop",
    "init": "a new shop folder with example files",
    "people": "who works here, and their keys",
    "plan": "the computed sheet for one batch",
    "practise": "a walk to learn on, with faults thrown in and a debrief",
    "reckon": "one sum of the trade",
    "records": "list batch records",
    "report": "print a batch's record, or the customer's certificate",
    "rehearse": "a whole walk on a fast clock, without a screen",
    "rules": "the rules of the trade that check asks",
    "verify": "prove batch records",
}
"""Each command with its line in the help; the module of its name holds it."""


class _Commands(click.Group):
    """Commands that are imported when they are called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        del ctx
        return sorted(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        del ctx
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"runner.cli.{cmd_name}")
        command: click.Command = module.command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl(sorted(COMMANDS.items()))


@click.group(cls=_Commands, invoke_without_command=True)
@click.version_option(__version__, prog_name="tankwalk")
@shop_option
@click.option(
    "--big/--no-big", default=None, help="Begin the walk in big print, or not; else as the shop says."
)
@click.pass_context
def tankwalk(context: click.Context, shop: Path | None, *, big: bool | None) -> None:
    """Walk a plating batch through its tanks, with currents and times computed, and keep a signed record.

    Without a command the terminal app opens on the shop in this folder.
    """
    context.obj = shop
    if context.invoked_subcommand is None:
        from runner.cli.app import open_app  # noqa: PLC0415  # the screens load only where one is wanted

        context.exit(open_app(shop, big=big))


def run(args: Sequence[str]) -> int:
    """Run one command line.

    Returns:
        The exit status: 0 fine, 1 the answer is no, 2 the input or the call is wrong.
    """
    try:
        status = tankwalk.main(list(args), prog_name="tankwalk", standalone_mode=False)
        sys.stdout.flush()
    except InputFault as error:
        return _wrong(error.faults, args)
    except click.UsageError as error:
        return _wrong([_usage(error)], args)
    except click.ClickException as error:
        return _wrong([Fault(error.format_message(), "see --help")], args)
    except (click.Abort, KeyboardInterrupt):
        return 130
    except BrokenPipeError:
        _write_nowhere()  # the reader went away: a pager was closed
        return NO
    except OSError as error:
        place = None if error.filename is None else os.fsdecode(error.filename)
        return _wrong([Fault(error.strerror or str(error), "mend that and call again", place)], args)
    return status if isinstance(status, int) else 0


def _usage(error: click.UsageError) -> Fault:
    command = error.ctx.command_path if error.ctx else "tankwalk"
    message = error.format_message().rstrip(".")
    return Fault(message, f"see {command} --help")


def _wrong(faults: Sequence[Fault], args: Sequence[str]) -> int:
    """Say what is wrong with the input: on standard error, and as JSON where that was asked for."""
    for fault in faults:
        sys.stderr.write(shown(fault, longest=10_000) + "\n")
    errors = [
        {"file": fault.file, "line": fault.line, "message": fault.message, "remedy": fault.remedy}
        for fault in faults
    ]
    try:
        if "--json" in args:
            print_json({"errors": errors})
        sys.stdout.flush()
    except OSError:
        _write_nowhere()  # a full disk behind standard output, as standard error has just said
    return WRONG


def _write_nowhere() -> None:
    """Keep the interpreter's own flush at the end from failing once more, and saying so."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
