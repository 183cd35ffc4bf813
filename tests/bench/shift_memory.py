"""Does the app grow in twelve hours of a shift?

    python tests/bench/shift_memory.py [HOURS]

The app runs without a terminal on a shop with twelve racks and a clock of its own. Every ten simulated
seconds its clocks are looked at as its tick does it; racks go in, are lifted when their time is up, are
looked at and released, and others are booked in after them. Memory is told after each simulated hour: this
process's resident set, and how many objects Python has in hand. What a released batch leaves behind is the
growth of an hour for each batch released in it, the median of the hours after the first quarter: one block of
a megabyte that comes in one hour and in no other, and that no object of Python's holds, is no growth.
"""

from __future__ import annotations

import asyncio
import gc
import itertools
import statistics
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

from runner.batch.moment import Moment
from runner.batch.questions import next_action
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.session import Session
from runner.screens.app import TankwalkApp

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.batches import later, wanted  # found by the line above
from support.floors import STAFF, hire, write_shop  # found by the line above
from support.journals import moment  # found by the line above
from support.sheets import CARDED, sheet  # found by the line above
from support.terminal import COLUMNS, ROWS  # found by the line above

RACKS, HOURS, STEP_S = 12, 12, 10.0

MOST_BYTES_A_BATCH = 8_000
"""What a released batch may leave behind. The shop's fold keeps about 600 bytes: its number, who opened it,
two hashes, two line numbers, a time. The rest is room for the shop's journal, which is read whole at each
opening and let go of."""

MOST_MB = 3.0
"""What may come on top from a quarter of the shift on, once and for all."""


class Simulated:
    """A clock that the bench moves on."""

    def __init__(self) -> None:
        self.at = moment()

    def now(self) -> Moment:
        """The present moment of the shift."""
        return self.at


def open_one(floor: Floor, owner: Session, now: Moment) -> str:
    """One more rack, booked in and let go of."""
    return floor.open_batch(CARDED, sheet(), "irons", "C-1", owner, now)


def serve(floor: Floor, people: dict[str, Session], now: Moment) -> int:
    """Do what each rack in hand asks for; how many ended."""
    ended = 0
    shop = floor.roll.state
    for batch in shop.open_batches if shop else ():
        state = floor.hold(batch).state
        action = next_action(state, now)
        if action.name in {"wait", "none"}:
            continue
        signs = people["cleo"] if action.name in {"sign", "settle", "release"} else None
        floor.act(batch, wanted(state, action), now, signs)
        if action.name == "release":
            floor.put_away(batch)
            ended += 1
    return ended


def resident_mb() -> float:
    """What the machine holds of this process in memory."""
    rows = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    row = next(row for row in rows if row.startswith("VmRSS"))
    return int(row.split()[1]) / 1024


class Told(NamedTuple):
    """At the end of an hour."""

    batches: int
    memory_mb: float


async def shift(folder: Path, hours: int) -> list[Told]:
    """How many batches were released, and memory, at the start and after each hour."""
    clock = Simulated()
    floor = Floor(write_shop(folder / "shop"), Keys(folder / "keys", rounds=1))
    people = hire(floor, STAFF, clock.at)
    app = TankwalkApp(floor, clock.now)
    told: list[Told] = []
    batches = 0
    async with app.run_test(size=(COLUMNS, ROWS)) as pilot:
        for hour in range(hours + 1):
            gc.collect()
            told.append(Told(batches, resident_mb()))
            objects = len(gc.get_objects())
            row = (
                f"hour {hour:2}: {told[-1].memory_mb:6.2f} MB, {batches} batches released, {objects} objects"
            )
            sys.stdout.write(row + "\n")
            if hour == hours:
                break
            for _ in range(int(3600 / STEP_S)):
                clock.at = later(clock.at, STEP_S)
                batches += serve(floor, people, clock.at)
                shop = floor.roll.state
                if shop is None or len(shop.open_batches) < RACKS:
                    open_one(floor, people["olive"], clock.at)
                app._tick()  # the app's own timer goes by the machine's clock
                await pilot.pause()
    floor.close()
    return told


def bytes_a_batch(told: list[Told]) -> float:
    """By how much memory grows with each batch that is released: the median of the hours."""
    return 1024**2 * statistics.median(
        (after.memory_mb - before.memory_mb) / (after.batches - before.batches)
        for before, after in itertools.pairwise(told)
        if after.batches > before.batches
    )


def main() -> int:
    """Run the shift; 1 where memory grows with what was released."""
    hours = int(sys.argv[1]) if len(sys.argv) > 1 else HOURS
    with tempfile.TemporaryDirectory() as folder:
        told = asyncio.run(shift(Path(folder), hours))
    late = told[hours // 4 :]
    released = late[-1].batches - late[0].batches
    slope, grew_mb = bytes_a_batch(late), late[-1].memory_mb - late[0].memory_mb
    under = slope < MOST_BYTES_A_BATCH and grew_mb < MOST_MB
    sys.stdout.write(
        f"from hour {hours // 4} to {hours}: {slope:.0f} bytes for each of {released} batches released, "
        f"{grew_mb:+.1f} MB in all: {'under' if under else 'NOT UNDER'} the bounds, "
        f"{MOST_BYTES_A_BATCH} bytes and {MOST_MB} MB\n"
    )
    return int(not under)


if __name__ == "__main__":
    sys.exit(main())
