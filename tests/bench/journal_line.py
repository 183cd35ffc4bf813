"""What does one line of a journal cost this program, the waiting for the disk left out?

Run: ``python tests/bench/journal_line.py``. Writes signed lines of a fact's size to a real file, with a disk
whose flush returns at once and which counts: each line must be one write and one flush.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from runner.record.journal import Entry, Journal
from support.journals import FaultyDisk, moment, signer

LINES = 2000
TARGET_US = 250.0


def main() -> int:
    """Measure, and count."""
    data = {"step": 4, "amps": 48.0, "in_tank_dm2": None}
    spent = []
    with tempfile.TemporaryDirectory() as name:
        disk = FaultyDisk()
        key = signer()
        first = Entry("batch-opened", {}, "op-1", moment(), key)
        with Journal.create(Path(name) / "journal.jsonl", first, disk=disk) as journal:
            writes, flushes = disk.writes, disk.flushes
            for second in range(1, LINES + 1):
                now = moment(second)
                began = time.process_time()
                journal.append("current-read", data, "op-1", now, key)
                spent.append(time.process_time() - began)
            writes, flushes = disk.writes - writes, disk.flushes - flushes
    middle_us = sorted(spent)[LINES // 2] * 1e6
    mean_us = sum(spent) / LINES * 1e6
    print(f"one signed line: {middle_us:.0f} µs (median), {mean_us:.0f} µs (mean) of processor")
    print(f"{LINES} lines: {writes} writes, {flushes} flushes")
    return 0 if middle_us <= TARGET_US and writes == flushes == LINES else 1


if __name__ == "__main__":
    sys.exit(main())
