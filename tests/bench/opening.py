"""What opening and sealing a batch cost in a shop whose own journal is long.

    python tests/bench/opening.py [LINES]

LINES (1000 where not given) of that journal are made first, two a batch. A terminal reads all of them when it
starts, and from then on what was added.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from runner.batch import intents as do
from runner.record.floor import Floor
from runner.record.keys import Keys
from support.mill import Mill, route


def took(does: Callable[[], object]) -> float:
    """Milliseconds of a processor."""
    began = time.process_time()
    does()
    return 1000 * (time.process_time() - began)


def main() -> None:
    """Make, open, seal, say."""
    lines = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    with tempfile.TemporaryDirectory() as place:
        mill = Mill(Path(place) / "shop")
        while mill.shop.state.lines < lines:
            mill.act(mill.open(), do.Abandon("called back"), "otto", fresh=True)
        mill.close()
        otto = mill.people["otto"]
        floors: list[Floor] = []
        started = took(lambda: floors.append(Floor(mill.folder, Keys(Path(place) / "keys", rounds=1))))
        floor = floors[0]
        source, plan = route("A", 5.0, 2)
        opened: list[str] = []
        opening, ending = [], []
        for _ in range(9):
            mill.wait(60)
            opening.append(
                took(lambda: opened.append(floor.open_batch(source, plan, "irons", "C-1", otto, mill.now)))
            )
            ending.append(took(lambda: floor.act(opened[-1], do.Abandon("called back"), mill.now, otto)))
        floor.close()
    print(f"a shop's journal of {lines} lines, ms of a processor, medians of nine")
    print(f"  reading it at the start: {started:.0f}")
    print(f"  opening a batch: {statistics.median(opening):.0f}")
    print(f"  ending one and sealing it: {statistics.median(ending):.0f}")


if __name__ == "__main__":
    main()
