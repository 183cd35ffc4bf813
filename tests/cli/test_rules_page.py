"""The page of rules: what stands in the tree is what the catalogue says."""

from __future__ import annotations

from pathlib import Path

import runner
from runner.cli.rules import PAGE, rules_page
from runner.procedure.rules.catalogue import CATALOGUE


def test_the_page_is_printed_from_the_catalogue() -> None:
    """Run ``tankwalk rules --page`` again where this fails."""
    kept = Path(runner.__file__).parent.parent / PAGE
    assert kept.read_text(encoding="utf-8") == rules_page()


def test_every_rule_stands_on_it_once() -> None:
    """By its name, in a row of its own."""
    rows = [line for line in rules_page().splitlines() if line.startswith("| ")]
    for rule in CATALOGUE:
        assert sum(row.startswith(f"| {rule.name} |") for row in rows) == 1
