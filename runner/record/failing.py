"""Which of the batches in a list do not prove?

Owns the meeting of the list, which is a cache, with the proof, which is not: what the list lacks and the
shop's journal knows is added, so that no batch falls out of both.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from runner.record.index_query import Listed
from runner.record.index_rows import nothing_read
from runner.record.progress import Told, untold
from runner.record.reader import Finding
from runner.record.trust import ground
from runner.record.verify_many import prove_many


@dataclass(frozen=True, slots=True)
class Failing:
    """What does not prove.

    Attributes:
        batches: In the order of the list.
        findings: Of each of them, by name.
        ground: What is wrong with what they all rest on.
    """

    batches: tuple[Listed, ...]
    findings: Mapping[str, tuple[Finding, ...]]
    ground: tuple[Finding, ...]


def failing_of(
    logs: Path, batches: Sequence[Listed], told: Told = untold, *, everything: bool = False
) -> Failing:
    """Prove the batches of a list.

    Args:
        logs: The shop's folder of logs.
        batches: The list.
        told: Called as they are done.
        everything: Whether batches that the shop's journal knows and the list does not are asked for too.
    """
    trusted = ground(logs, None, None)
    rows = list(batches)
    if everything and trusted.shop is not None:
        known = {one.batch for one in rows}
        rows += [
            nothing_read(name, "its folder is away")
            for name, told_of in trusted.shop.batches.items()
            if name not in known and (told_of.deleted is None or os.path.lexists(logs / name))
        ]
    proofs = prove_many([logs / one.batch for one in rows], trusted, told)
    findings = {proof.batch: proof.findings for proof in proofs if proof.findings}
    return Failing(tuple(one for one in rows if one.batch in findings), findings, trusted.findings)
