"""The page of single faults: what stands in the tree is what the rules say of them."""

from __future__ import annotations

import pytest

from support.fault_page import PAGE, REASONS, ROOT, count, rows

QUICK = {
    "bake a sixth as long",
    "current gap 30 min",
    "oven temperature moved",
    "polarity turned",
    "strip removed",
}
"""Kinds of few faults, counted again here; `mutations.py --page` counts all."""


@pytest.fixture(scope="module")
def kept() -> list[str]:
    """The page's rows."""
    return [row for row in (ROOT / PAGE).read_text(encoding="utf-8").splitlines() if row.startswith("| ")]


def test_the_table_says_what_the_rules_say(kept: list[str]) -> None:
    """Run ``python tests/bench/mutations.py --page`` again where this fails."""
    counts, missed = count(QUICK)
    assert counts.keys() == QUICK
    assert set(rows(counts)) <= set(kept)
    assert sum(found[None] for found in counts.values()) == len(missed)


def test_every_kind_that_is_not_wholly_told_has_its_reason(kept: list[str]) -> None:
    """Once in the table and once among the reasons; where all are told there is nothing to explain."""
    for kind, why in REASONS.items():
        table, reason = [row for row in kept if row.startswith(f"| {kind} |")]
        assert (table.endswith("| 100% |")) == (not why), kind
        assert reason == f"| {kind} | {why or 'all are told'} |"
