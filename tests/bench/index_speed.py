"""How long the index of a shop takes to make, to bring up to date, and to ask.

    python tests/bench/index_speed.py FOLDER

FOLDER is a shop as `verify_many.py` makes one. Its index is deleted first. All rows are what the command
lists, and a page of them is what the screen fetches. The lowest of fifteen times counts, of a processor:
other work on the machine only adds.
"""

from __future__ import annotations

import sqlite3
import sys
import time
from collections.abc import Callable
from contextlib import closing
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from runner.record import index
from runner.record.index_query import Wanted, find, some

PAGE = 200

QUESTIONS = {
    "all": Wanted(),
    "customer": Wanted(customer="c-7"),
    "part": Wanted(part="PART 3"),
    "person": Wanted(person="cleo"),
    "tank between two times": Wanted(
        tank="nickel", since="2026-01-10T00:00:00.000Z", until="2026-01-11T00:00:00.000Z"
    ),
    "deviation": Wanted(deviation="overstayed"),
    "overdue": Wanted(overdue=True, now="2030-01-01T00:00:00.000Z"),
    "revision and days": Wanted(
        revision="A", since="2026-02-01T00:00:00.000Z", until="2026-02-08T00:00:00.000Z"
    ),
}


def took(does: Callable[[], object]) -> tuple[float, float]:
    """Milliseconds by the wall, and of a processor."""
    wall, cpu = time.perf_counter(), time.process_time()
    does()
    return 1000 * (time.perf_counter() - wall), 1000 * (time.process_time() - cpu)


def main() -> None:
    """Measure, say."""
    logs = Path(sys.argv[1]) / "logs"
    (logs / index.FILE).unlink(missing_ok=True)
    wall, cpu = took(lambda: index.search(logs, Wanted(is_open=True)))
    batches = len(index.search(logs, Wanted()).batches)
    print(f"{batches} batches: made in {wall / 1000:.1f} s ({cpu / batches:.2f} ms of a processor a batch)")
    print(f"its size: {(logs / index.FILE).stat().st_size / batches:.0f} bytes a batch")
    wall, cpu = took(lambda: index.search(logs, Wanted(is_open=True)))
    print(f"asked when nothing changed: {wall:.0f} ms, {cpu:.0f} ms of a processor")
    with closing(sqlite3.connect(logs / index.FILE)) as db:
        for name, wanted in QUESTIONS.items():
            found = len(find(db, wanted))
            every, page = (
                min(took(does)[1] for _ in range(15))
                for does in (partial(find, db, wanted), partial(some, db, wanted, found // 2, PAGE))
            )
            print(f"  {name}: {found} found in {every:.1f} ms; {PAGE} from their middle in {page:.1f} ms")


if __name__ == "__main__":
    main()
