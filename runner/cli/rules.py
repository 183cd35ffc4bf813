"""``tankwalk rules``: the catalogue of the rules of the trade."""

from __future__ import annotations

from pathlib import Path

import click

from runner.cli.common import FINE, json_option, print_json, say
from runner.procedure.rules.catalogue import CATALOGUE

PAGE = Path("runner") / "procedure" / "rules" / "RULES.md"
"""Where the page that `--page` prints is kept in the source tree; a test holds the two together."""


@click.command(name="rules")
@click.option("--page", is_flag=True, help="As a page of documentation, in Markdown.")
@json_option
def command(*, page: bool, as_json: bool) -> int:
    """The rules that check asks, grouped by what they guard, each with its source."""
    if as_json:
        print_json(
            {
                "rules": [
                    {
                        "rule": rule.name,
                        "guards": rule.guards,
                        "severity": str(rule.severity),
                        "says": rule.says,
                        "overridable": rule.overridable,
                        "source": rule.source.text,
                        "known": str(rule.source.known),
                    }
                    for rule in CATALOGUE
                ]
            }
        )
        return FINE
    if page:
        click.echo(rules_page(), nl=False)
        return FINE
    for guards in dict.fromkeys(rule.guards for rule in CATALOGUE):
        say(f"{guards[0].upper()}{guards[1:]}")
        for rule in CATALOGUE:
            if rule.guards == guards:
                say(f"  {rule.name}: {rule.says}")
                override = "a chargehand may override it" if rule.overridable else "never overridden"
                say(f"    at worst {rule.severity}; {override}; {rule.source}")
        say("")
    say("Each finding names its own source. The supplier's data sheet, local codes and the customer's")
    say("specification go before all of it; a program is no interlock.")
    return FINE


def rules_page() -> str:
    """The catalogue as a page: a table for each thing that rules guard."""
    lines = [
        "# The rules of the trade",
        "",
        "Printed by `tankwalk rules --page`. Each finding names its own source.",
        "The supplier's safety data sheet, local codes and the customer's specification go before all of it.",
        "A program is no interlock. [SENSE.md](SENSE.md) goes through what a good shop knows, line by line;",
        "[FAULTS.md](FAULTS.md) shows which single faults of sound routes these rules tell.",
    ]
    for guards in dict.fromkeys(rule.guards for rule in CATALOGUE):
        lines += ["", f"## {guards[0].upper()}{guards[1:]}", ""]
        lines += ["| rule | says | at worst | override | source |", "| --- | --- | --- | --- | --- |"]
        for rule in CATALOGUE:
            if rule.guards == guards:
                override = "chargehand" if rule.overridable else "never"
                lines.append(f"| {rule.name} | {rule.says} | {rule.severity} | {override} | {rule.source} |")
    return "\n".join(lines) + "\n"
