"""How long a shop's records take to prove on every core, against the bare sums on as many.

    python tests/bench/verify_many.py [BATCHES] [FOLDER] [--long] [--times N]

Makes real signed batches (nothing flushed): walks of three steps, 17 signatures a batch, or with ``--long``
walks of the example shop's first route, some 180 a batch. A folder that is there is used as it is, and one
that is named is kept. Then, in turns, the lowest figures counting:

- raw: SHA-256 over the bytes of journals and records, and Ed25519 over every signature in them, keys loaded
  and signed bytes at hand, shared out to one process a core at the same time
- verify: the command ``tankwalk verify FOLDER``, from its start to its end
"""

from __future__ import annotations

import argparse
import gc
import hashlib
import multiprocessing
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).parents[1]))

from runner.record import sshsig
from runner.record.layout import JOURNAL, LINE_NAMESPACE, RECORD, RECORD_NAMESPACE, SHOP_JOURNAL, SIGNATURE
from runner.record.lines import parse, raw_lines, signed_bytes
from runner.record.sshsig import Claim
from support.mill import Mill
from support.sealed import sealed_batches

TARGET = 0.6

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


def make(folder: Path, batches: int, *, long: bool) -> None:
    """A shop with so many released batches."""
    if long:
        folder.mkdir(parents=True)
        sealed_batches(folder, batches)
        return
    mill = Mill(folder)
    for number in range(batches):
        mill.wait(600)
        mill.walk(mill.open(part=f"part {number % 50}", customer=f"C-{number % 20}"))
    mill.close()


def signed(logs: Path) -> Iterator[Claim]:
    """Every signature that a proof checks, ready for the sum."""
    for journal in [logs / SHOP_JOURNAL, *sorted(logs.glob(f"*/{JOURNAL}"))]:
        for raw in raw_lines(journal.read_bytes())[0]:
            line = parse(raw)
            if line.sig is not None:
                yield sshsig.claimed(sshsig.decode64(line.sig), LINE_NAMESPACE, signed_bytes(raw, line))
    for record in sorted(logs.glob(f"*/{RECORD}")):
        blob = sshsig.unarmour(record.with_name(SIGNATURE).read_text("ascii"))
        yield sshsig.claimed(blob, RECORD_NAMESPACE, record.read_bytes())


def bare_sums(contents: list[bytes], claims: list[Claim]) -> None:
    """The cryptography alone."""
    for content in contents:
        hashlib.sha256(content).digest()
    for claim in claims:
        claim.key.verify(claim.signature, claim.signed)


def bare_sums_on(cores: int, contents: list[bytes], claims: list[Claim]) -> None:
    """The same by so many processes at once; forked, so that what they work on need not be handed over."""
    forked = multiprocessing.get_context("fork")
    shares = [(contents[at::cores], claims[at::cores]) for at in range(cores)]
    workers = [forked.Process(target=bare_sums, args=share) for share in shares]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
        assert worker.exitcode == 0


def main() -> int:
    """Make, measure, say."""
    asked = argparse.ArgumentParser()
    asked.add_argument("batches", type=int, nargs="?", default=1000)
    asked.add_argument("folder", type=Path, nargs="?")
    asked.add_argument("--long", action="store_true")
    asked.add_argument("--times", type=int, default=2)
    given = asked.parse_args()
    folder = given.folder or Path(tempfile.mkdtemp()) / "shop"
    if not folder.exists():
        print(f"made in {timed(lambda: make(folder, given.batches, long=given.long))[0]}", flush=True)
    logs = next(folder.rglob(SHOP_JOURNAL)).parent
    cores = len(os.sched_getaffinity(0))
    contents = [path.read_bytes() for name in ("*.jsonl", RECORD) for path in logs.rglob(name)]
    claims = list(signed(logs))
    gc.freeze()  # what is held here is no matter of the sums
    print(f"{len(contents) // 2} batches, {len(claims)} signatures, {cores} cores", flush=True)
    bare, proof = [], []
    for _ in range(given.times):
        bare.append(timed(lambda: bare_sums_on(cores, contents, claims))[0])
        proof.append(timed(lambda: verified(logs))[0])
        print(f"bare sums {bare[-1]}; verify {proof[-1]}", flush=True)
    by_wall = min(took.wall_s for took in bare) / min(took.wall_s for took in proof)
    by_cpu = min(took.cpu_s for took in bare) / min(took.cpu_s for took in proof)
    print(f"of bare speed: {by_wall:.0%} by the wall, {by_cpu:.0%} by processors' time")
    return 0 if by_wall >= TARGET else 1


def verified(logs: Path) -> None:
    """The command, which must find nothing wrong."""
    command = [sys.executable, "-m", "runner", "verify", str(logs)]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)


if __name__ == "__main__":
    sys.exit(main())
