"""`kill -9` at random points of many walks: is anything lost that was acknowledged, and does all of it prove?

    python tests/bench/kills.py [--walks 2000] [--seed 1] [--dir DIR]

Each walk is a child process that writes real files; DIR is where (else where the system
keeps what is for a while). Exit status 1 where anything was lost or does not prove.
"""

from __future__ import annotations

import argparse
import collections
import random
import shutil
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.floors import Works, write_shop
from support.kills import Killed, kill_one, usual_times


def main() -> int:
    """Kill, go on, look, say."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--walks", type=int, default=2000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--dir", type=Path, default=None)
    options = asked.parse_args()
    came: list[Killed] = []
    began = time.perf_counter()
    with tempfile.TemporaryDirectory(dir=options.dir) as place:
        root = Path(place)
        hired = Works(write_shop(root / "hired"), root / "keys").hire()
        times = usual_times(hired, root / "usual")
        chance = random.Random(options.seed)  # noqa: S311 - the same draw every time
        for number in range(options.walks):
            came.append(kill_one(hired, root / f"walk-{number}", times, chance))
            shutil.rmtree(root / f"walk-{number}")
            if (number + 1) % 100 == 0:
                print(f"{number + 1} walks, {sum(one.told for one in came)} lines acknowledged", flush=True)
    bad = [one for one in came if one.lost or one.findings]
    print(f"{len(came)} walks killed in {time.perf_counter() - began:.0f} s, seed {options.seed}")
    print(f"lines acknowledged before the kill: {sum(one.told for one in came)}")
    print(f"acknowledged and not there afterwards: {sum(len(one.lost) for one in came)}")
    print(f"walks that do not prove once another terminal went on to the release: {len(bad)}")
    print(f"what it found: {dict(collections.Counter(one.mended for one in came))}")
    print(f"walks that had ended before the kill came: {sum(one.finished for one in came)}")
    for one in bad:
        print(one)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
