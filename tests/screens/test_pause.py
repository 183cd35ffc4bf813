"""A step that is interrupted: what is asked, and what is said."""

from __future__ import annotations

from pathlib import Path

from runner.batch.state import Phase
from runner.batch.timer import counted_time_s
from support.batches import later
from support.screen import stage
from support.sheets import FINAL, RACK, sheet


async def test_hand_work_is_interrupted_without_asking_for_a_rack(tmp_path: Path) -> None:
    """No rack hangs in a tank there: it is paused at once, its time stands still, and one key goes on."""
    async with stage(tmp_path) as s:
        batch = await s.walk(sheet(RACK, FINAL))
        await s.press("space")
        before = s.state(batch)
        await s.press("p")
        await s.sees("PAUSED: the work is interrupted", "space  go on")
        paused = s.state(batch)
        assert (paused.phase, paused.deviations) == (Phase.PAUSED, ())
        step, run = paused.step, paused.run
        assert step is not None and run is not None and before.run is not None
        assert counted_time_s(step, run, later(s.clock(), 600)) == counted_time_s(step, before.run, s.clock())
        await s.press("space")
        assert s.state(batch).phase is Phase.IN_STEP
