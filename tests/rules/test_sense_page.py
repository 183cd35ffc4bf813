"""The page of what a good shop knows names rules that there are, and leaves none of the guarding ones out."""

from __future__ import annotations

import re

from runner.procedure.rules.catalogue import CATALOGUE
from support.fault_page import ROOT

PAGE = ROOT / "runner" / "procedure" / "rules" / "SENSE.md"
NO_RULES = {"contents", "assembly", "do", "check --explain"}
"""What else stands as code there: keys of files, and a command."""


def test_every_rule_that_the_page_names_is_in_the_catalogue() -> None:
    """A rule that is renamed is renamed there."""
    named = set(re.findall(r"`([^`]+)`", PAGE.read_text(encoding="utf-8")))
    assert named - {rule.name for rule in CATALOGUE} == NO_RULES


def test_every_line_says_what_keeps_it_or_why_nothing_does() -> None:
    """Two cells, neither of them empty."""
    rows = [row for row in PAGE.read_text(encoding="utf-8").splitlines() if row.startswith("| ")]
    assert len(rows) > len(CATALOGUE) // 2
    for row in rows:
        cells = [cell.strip() for cell in row.strip("|").split("|")]
        assert len(cells) == 2
        assert all(cells), row
