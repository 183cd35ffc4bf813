"""A terminal is killed at any moment of a walk: what it said was kept is kept, and all of it proves.

A sample; `tests/bench/kills.py` kills two thousand.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from runner.record.lines import line_hash
from support.floors import Works
from support.kills import kill_one, lost_lines, usual_times


@pytest.fixture(scope="module")
def times(hired: Works, tmp_path_factory: pytest.TempPathFactory) -> list[float]:
    """How long each action of a walk takes here."""
    return usual_times(hired, tmp_path_factory.mktemp("usual") / "shop")


@pytest.mark.parametrize("seed", range(20))
def test_a_killed_walk_loses_no_acknowledged_line(
    hired: Works, times: list[float], tmp_path: Path, seed: int
) -> None:
    """SIGKILL at a drawn moment; then another terminal goes on to the release, and the shop proves."""
    chance = random.Random(seed)  # noqa: S311 - the same draw every time
    killed = kill_one(hired, tmp_path / "shop", times, chance)
    assert killed.lost == ()
    assert killed.findings == ()


def test_a_lost_line_would_be_seen(works: Works) -> None:
    """The look itself: a line that was told and is cut off, or is another, is named."""
    raws = (works.logs / "shop.jsonl").read_bytes().splitlines(keepends=True)
    told = [
        {"file": "shop.jsonl", "line": str(number), "sha256": line_hash(raw)}
        for number, raw in enumerate(raws, start=1)
    ]
    assert lost_lines(works.logs, told) == []
    (works.logs / "shop.jsonl").write_bytes(b"".join([raws[0].replace(b"owner", b"Owner"), *raws[1:-1]]))
    assert lost_lines(works.logs, told) == ["shop.jsonl line 1", f"shop.jsonl line {len(raws)}"]
