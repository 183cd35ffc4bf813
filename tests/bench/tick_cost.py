"""What twelve racks cost while nothing happens but time: share of a core, and memory.

Run it: ``python tests/bench/tick_cost.py``. The app runs headless for some seconds on the machine's clock.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from runner.record.moment import SystemClock

sys.path.insert(0, str(Path(__file__).parents[1]))

RACKS, SECONDS = 12, 20
EARLIER_S = 400.0
"""When the first rack was booked in; the last hangs in its tank when the measuring begins."""

MOST_SHARE, MOST_MB = 5.0, 90.0

LIVE = """
import asyncio, resource, sys, time
from pathlib import Path
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.moment import SystemClock
from runner.screens.app import TankwalkApp
async def run():
    floor = Floor(Path(sys.argv[1]), Keys(Path(sys.argv[2])))
    clock = SystemClock()
    app = TankwalkApp(floor, clock.now)
    async with app.run_test(size=(80, 24)) as pilot:
        if sys.argv[4] == "walk":
            batch = floor.standing()[0].batch
            assert floor.take(batch, clock.now()) is None
            app.to_walk(batch)
        await asyncio.sleep(2)
        began, wall = time.process_time(), time.perf_counter()
        await asyncio.sleep(float(sys.argv[3]))
        share = (time.process_time() - began) / (time.perf_counter() - wall) * 100
        now = int(Path("/proc/self/statm").read_text().split()[1]) * resource.getpagesize() / 1e6
        print(share, now)
asyncio.run(run())
"""


def main() -> None:
    """Measure, and print the table."""
    from support.batches import later  # noqa: PLC0415  # on the path only now
    from support.floors import Works, write_shop  # noqa: PLC0415  # on the path only now

    with tempfile.TemporaryDirectory() as folder:
        shop, keys = write_shop(Path(folder) / "shop"), Path(folder) / "keys"
        works = Works(shop, keys, now=later(SystemClock().now(), -EARLIER_S)).hire()
        for _ in range(RACKS):
            works.follow_to(works.open(), "enter", times=2)
        works.floor.close()
        for what in ("board", "walk"):
            done = subprocess.run(
                [sys.executable, "-c", LIVE, str(shop), str(keys), str(SECONDS), what],
                capture_output=True,
                text=True,
                check=True,
            )
            share, memory = (float(figure) for figure in done.stdout.split())
            told = f"{what} with {RACKS} racks, {SECONDS} s"
            cost = f"{share:6.1f} % of a core (target {MOST_SHARE:.0f})"
            print(f"{told:<32}{cost}   {memory:6.1f} MB (target {MOST_MB:.0f})")


if __name__ == "__main__":
    main()
