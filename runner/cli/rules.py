"""``tankwalk rules``: the catalogue of the rules of the trade."""

from __future__ import annotations

import click

from runner.cli.common import FINE, json_option, print_json, say
from runner.procedure.rules.catalogue import CATALOGUE


@click.command(name="rules")
@json_option
def command(*, as_json: bool) -> int:
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
