"""Journals forged by hand, which the index must list without falling over them: it checks no signatures."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from runner.record.index import search
from runner.record.index_query import Listed, Wanted

NAME = "2026-0001"


def forged(shop: Path, change: dict[str, Any], plan: dict[str, Any]) -> Listed:
    """The batch in the list after its first line was rewritten, and all others taken away."""
    journal = shop / "logs" / NAME / "journal.jsonl"
    line = json.loads(journal.read_bytes().split(b"\n")[0])
    line["data"].update(change)
    line["data"]["plan"].update(plan)
    journal.write_bytes(json.dumps(line, separators=(",", ":")).encode("ascii") + b"\n")
    (one,) = [one for one in search(shop / "logs", Wanted()).batches if one.batch == NAME]
    return one


@pytest.mark.parametrize("pieces", [10**30, -(10**30), 2**63, 0])
def test_a_figure_that_no_column_holds_is_cut_to_one(shop: Path, pieces: int) -> None:
    """A forged plan may name any whole number."""
    one = forged(shop, {}, {"pieces": pieces})
    assert one.status == "open"
    assert abs(one.pieces) == min(abs(pieces), 2**63 - 1)


@pytest.mark.parametrize("total_s", [1e300, 1e18, -1e18])
def test_a_time_that_no_calendar_holds_is_no_time(shop: Path, total_s: float) -> None:
    """Nothing is due then, and nothing is overdue."""
    assert forged(shop, {}, {"total_s": total_s}).due == ""
    found = search(shop / "logs", Wanted(overdue=True, now="9999-12-31T00:00:00.000Z")).batches
    assert NAME not in {one.batch for one in found}


@pytest.mark.parametrize(
    "part",
    ["", "a\x00b", "\x1b]0;x\x07", "\u202egnp.exe", "😀" * 5000, "x" * 100_000, "'; DROP TABLE runs; --"],
)
def test_any_text_is_kept_as_it_is_and_found_by_it(shop: Path, part: str) -> None:
    """Showing it is another's part; here it is data."""
    assert forged(shop, {"part": part, "customer": part}, {"title": part}).part == part
    for wanted in (Wanted(part=part), Wanted(customer=part.upper()), Wanted(procedure=part)):
        assert NAME in {one.batch for one in search(shop / "logs", wanted).batches}


@pytest.mark.parametrize(
    "change",
    [{"part": "\ud800"}, {"part": 7}, {"by": None}, {"by": {"id": "x"}}, {"format": 99}],
)
def test_a_line_that_is_none_is_listed_as_unread(shop: Path, change: dict[str, Any]) -> None:
    """Half a character, a figure for a text, nobody, another format."""
    one = forged(shop, change, {})
    assert one.status == "unread"
    assert "line 1" in one.outcome
