"""How long a shop's records take to prove, on one core and on all; and what the bare cryptography takes.

    python tests/bench/verify_many.py [BATCHES] [FOLDER]

Makes real signed batches of three steps (nothing flushed), proves them the serial way and on every core, and
measures the raw cost: every signature checked and every byte hashed, by one process, and nothing else done.
A folder is kept and used again.
"""

from __future__ import annotations

import hashlib
import os
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).parents[1]))

from runner.record import sshsig
from runner.record.layout import JOURNAL, LINE_NAMESPACE, RECORD, RECORD_NAMESPACE, SHOP_JOURNAL, SIGNATURE
from runner.record.lines import parse, raw_lines, signed_bytes
from runner.record.trust import Trusted, ground
from runner.record.verify_many import prove_many
from support.mill import Mill

T = TypeVar("T")


@dataclass(frozen=True)
class Took:
    """Seconds by the wall, and of processors, those of processes started here too."""

    wall_s: float
    cpu_s: float

    def __str__(self) -> str:
        return f"{self.wall_s:.1f} s ({self.cpu_s:.1f} s of processors)"


def timed(does: Callable[[], T]) -> tuple[Took, T]:
    """How long something took, and what came of it."""
    wall, cpu = time.perf_counter(), _cpu_s()
    came = does()
    return Took(time.perf_counter() - wall, _cpu_s() - cpu), came


def _cpu_s() -> float:
    return sum(os.times()[:4])


def make(folder: Path, batches: int) -> None:
    """A shop with so many released batches."""
    mill = Mill(folder)
    for number in range(batches):
        mill.wait(600)
        mill.walk(mill.open(part=f"part {number % 50}", customer=f"C-{number % 20}"))
    mill.close()


def signed(logs: Path) -> list[tuple[bytes, str, bytes]]:
    """Every signature that a proof checks, with its purpose and what it stands under."""
    found = []
    for journal in [logs / SHOP_JOURNAL, *sorted(logs.glob(f"*/{JOURNAL}"))]:
        for raw in raw_lines(journal.read_bytes())[0]:
            line = parse(raw)
            if line.sig is not None:
                found.append((sshsig.decode64(line.sig), LINE_NAMESPACE, signed_bytes(raw, line)))
    for record in sorted(logs.glob(f"*/{RECORD}")):
        armoured = record.with_name(SIGNATURE).read_text("ascii")
        found.append((sshsig.unarmour(armoured), RECORD_NAMESPACE, record.read_bytes()))
    return found


def raw_cost(found: list[tuple[bytes, str, bytes]]) -> None:
    """The cryptography alone: each message hashed for the chain, and its signature checked."""
    for blob, purpose, message in found:
        hashlib.sha256(message).digest()
        sshsig.check(blob, purpose, message)


def main() -> None:
    """Make, measure, say."""
    batches = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    folder = Path(sys.argv[2]) if len(sys.argv) > 2 else Path(tempfile.mkdtemp()) / "shop"
    if not folder.exists():
        took, _ = timed(lambda: make(folder, batches))
        say(f"{batches} batches made in {took}")
    logs = folder / "logs"
    batch_folders = sorted(path.parent for path in logs.glob(f"*/{JOURNAL}"))
    cores = len(os.sched_getaffinity(0))
    on_ground, trusted = timed(lambda: ground(logs, None, None))
    say(f"{len(batch_folders)} batches, {cores} cores; the shop's journal: {on_ground}")
    together = measure(batch_folders, trusted, cores)
    found = signed(logs)
    raw, _ = timed(lambda: raw_cost(found))
    say(f"raw cost of {len(found)} signatures and hashes: {raw}, by one process")
    share = raw.cpu_s / (on_ground.cpu_s + together.cpu_s)
    say(f"raw cost as a share of all processors' time on {cores} cores: {share:.0%}")


def measure(folders: list[Path], trusted: Trusted, cores: int) -> Took:
    """The serial way and on every core; the proofs must be the same."""
    alone, serial = timed(lambda: prove_many(folders, trusted, workers=1))
    together, parallel = timed(lambda: prove_many(folders, trusted, workers=cores))
    assert serial == parallel
    assert not any(proof.findings for proof in serial)
    say(f"one process: {alone}, {1000 * alone.cpu_s / len(folders):.1f} ms of a processor a batch")
    say(f"{cores} processes: {together}")
    say(f"of what {cores} cores could do, by the wall: {alone.wall_s / (cores * together.wall_s):.0%}")
    say(f"by processors' time, which other work spoils less: {alone.cpu_s / together.cpu_s:.0%}")
    return together


def say(line: str) -> None:
    """One line."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
