"""The page of dangers: all that is written for a step, be it a danger, gear, both or neither."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from runner.screens.walk_keys import NO_DANGER
from support.screen import stage
from support.sheets import DIP, sheet


@pytest.mark.parametrize(
    ("hazards", "ppe", "told"),
    [
        (("Burns skin.",), ("goggles", "gauntlets"), ("DANGER  Burns skin.", "WEAR  goggles, gauntlets")),
        ((), ("goggles", "gauntlets"), ("WEAR  goggles, gauntlets",)),
        (("Burns skin.",), (), ("DANGER  Burns skin.",)),
        ((), (), ("No danger and no gear is written for this step",)),
    ],
    ids=["both", "gear alone", "danger alone", "neither"],
)
async def test_what_is_written_is_there_to_be_read(
    hazards: tuple[str, ...], ppe: tuple[str, ...], told: tuple[str, ...], tmp_path: Path
) -> None:
    """A rinse has gear and no danger of its own: d shows it, and says none only where none is written."""
    async with stage(tmp_path) as s:
        await s.walk(sheet(replace(DIP, hazards=hazards, ppe=ppe, confirm=())))
        await s.press("d")
        await s.sees("escape: back", *told)
        page = s.text()
        assert ("DANGER" in page, "WEAR" in page) == (bool(hazards), bool(ppe))
        assert (NO_DANGER[:40] in page) == (not hazards and not ppe)
