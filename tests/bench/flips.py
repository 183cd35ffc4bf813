"""Every byte of a sealed batch with one bit flipped, and every length of its files: is each found?

Run: ``python tests/bench/flips.py``. Uses every processor; exits 1 where a change was missed.
"""

from __future__ import annotations

import os
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.flips import Bench, Change, every_cut, every_flip
from support.works import SEALED, make_works


def _missed(task: tuple[Path, int, int]) -> tuple[list[Change], int, int]:
    """One process's share, on a shop of its own; returns what was missed, and how many were tried."""
    folder, share, shares = task
    works = make_works(folder / f"shop-{share}", folder / f"keys-{share}")
    bench = Bench(works, works.batch(SEALED))
    flips = list(every_flip(bench.folder))[share::shares]
    cuts = list(every_cut(bench.folder))[share::shares]
    return bench.missed([*flips, *cuts]), len(flips), len(cuts)


def main() -> int:
    """Try all of them."""
    shares = os.cpu_count() or 1
    memory = Path("/dev/shm")  # noqa: S108  # files in memory where the system has them, each process its own
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as name:
        folder = Path(name)
        with ProcessPoolExecutor(shares) as pool:
            done = list(pool.map(_missed, [(folder, share, shares) for share in range(shares)]))
    missed = [change for changes, _, _ in done for change in changes]
    flips, cuts = sum(tried for _, tried, _ in done), sum(tried for _, _, tried in done)
    flips_missed = sum(change.bit is not None for change in missed)
    cuts_missed = len(missed) - flips_missed
    for change in missed[:20]:
        print(f"missed: {change}")
    told = f"flips: tried {flips}, found {flips - flips_missed}"
    print(f"{told}; truncations: tried {cuts}, found {cuts - cuts_missed}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
