"""Every screen as text, in the sizes that a shop's terminals have; each was looked at before it was kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.scenes import OTHERS, WALKS, Scene, first_start
from support.screen import matches_snapshot, stage

SIZES = ((80, 24), (120, 40))
SMALL = (40, 12)

CASES = [(scene, size) for scene in (*WALKS, *OTHERS, first_start) for size in SIZES] + [
    (scene, SMALL) for scene in WALKS
]


def _id(case: object) -> str:
    return "x".join(map(str, case)) if isinstance(case, tuple) else getattr(case, "__name__", "")


@pytest.mark.parametrize(("scene", "size"), CASES, ids=_id)
async def test_a_screen_looks_as_it_did(tmp_path: Path, scene: Scene, size: tuple[int, int]) -> None:
    """What stands on it, row by row; the keys at its foot are whole, and nothing runs over the edge."""
    async with stage(tmp_path, size=size, staff=scene is not first_start) as s:
        s.floor.lock_after_s = 1e6
        await scene(s)
        for _ in range(2):
            await s.pilot.pause()
        text = s.text()
    foot = text.split("\n")[-1]
    assert foot.endswith(("help", "back", "later", "board")), foot
    matches_snapshot(f"{scene.__name__}-{size[0]}x{size[1]}", text)
