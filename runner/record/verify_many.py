"""Proving many batches at once, on every core.

Owns the sharing out. Each batch is proved by `runner.record.verify_batch`, as it is alone; the proofs come
back in the order of the folders, so that the verdict does not depend on how many worked on it. Few batches
are proved here: starting workers costs more than they save.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from concurrent import futures
from pathlib import Path

from runner.record.progress import Told, untold
from runner.record.trust import Trusted
from runner.record.verify_batch import BatchProof, prove_batch

SERIAL_BELOW = 50
"""Batches under which one process is quicker (measured: a worker takes about half a second to start)."""

_CHUNKS_EACH = 16  # chunks a worker: many enough that none waits long for the other's last
_LARGEST_CHUNK = 20  # batches between two steps of the bar: a second's work, where walks were long

_ground: list[Trusted] = []
"""In a worker: what all its batches are proved on, handed over once and not with each."""


def prove_many(
    folders: Sequence[Path], trusted: Trusted, told: Told = untold, workers: int | None = None
) -> tuple[BatchProof, ...]:
    """Prove production batches.

    Args:
        folders: Of the batches.
        trusted: What they are proved on.
        told: Called as batches are done.
        workers: Processes; None for one a core, or none where there are few batches.

    Returns:
        A proof for each folder, in their order.
    """
    told(0, len(folders))
    if workers is None:
        workers = _cores() if len(folders) >= SERIAL_BELOW else 1
    done: list[BatchProof] = []
    if workers > 1:
        try:
            for proofs in _in_parallel(folders, trusted, workers):
                done += proofs
                told(len(done), len(folders))
        except (futures.BrokenExecutor, OSError):
            pass  # a worker was killed, or none can be started here: the rest is proved by this process
    for folder in folders[len(done) :]:
        done.append(prove_batch(folder, trusted))
        told(len(done), len(folders))
    return tuple(done)


def _in_parallel(folders: Sequence[Path], trusted: Trusted, workers: int) -> Iterator[list[BatchProof]]:
    size = max(1, min(_LARGEST_CHUNK, len(folders) // (workers * _CHUNKS_EACH)))
    import multiprocessing  # noqa: PLC0415  # only where there is much to prove

    # Spawned, not forked: a fork copies locks that other threads of a terminal hold at that moment.
    context = multiprocessing.get_context("spawn")
    pool = futures.ProcessPoolExecutor(workers, context, _begin, (trusted,))
    try:
        chunks: list[futures.Future[list[BatchProof]]] = [
            pool.submit(_prove_chunk, folders[at : at + size]) for at in range(0, len(folders), size)
        ]
        for chunk in chunks:
            yield chunk.result()
    finally:
        pool.shutdown(cancel_futures=True)


def _begin(trusted: Trusted) -> None:
    _ground[:] = [trusted]


def _prove_chunk(folders: Sequence[Path]) -> list[BatchProof]:
    return [prove_batch(folder, _ground[0]) for folder in folders]


def _cores() -> int:
    """Cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
