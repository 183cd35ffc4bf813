"""Proving on every core: the findings and their order are those of one process, whatever happens to one."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path

import pytest

from runner.cli.bar import bar
from runner.record import verify_many
from runner.record.trust import Trusted, ground
from runner.record.verify import Verdict, verify
from runner.record.verify_batch import BatchProof
from runner.record.verify_many import SERIAL_BELOW, prove_many


@pytest.fixture
def spoilt(shop: Path) -> Path:
    """A shop with faults of several kinds in several batches; returns its logs."""
    logs = shop / "logs"
    (logs / "2026-0002" / "journal.jsonl").unlink()
    for number, old, new in (
        (7, b'"seq":3,', b'"seq":4,'),
        (20, b"Otto", b"Otta"),
        (41, b'"at":"2026', b'"at":"2025'),
    ):
        journal = logs / f"2026-{number:04}" / "journal.jsonl"
        journal.write_bytes(journal.read_bytes().replace(old, new, 2))
    for record in sorted(logs.glob("*/record.toml"))[::9]:
        record.write_bytes(record.read_bytes() + b"\n")
    (logs / "2026-0060").rename(logs / "2026-0061")
    return logs


def folders_of(logs: Path) -> tuple[list[Path], Trusted]:
    """Every batch's folder, and what they are proved on."""
    return sorted(path.parent for path in logs.glob("*/journal.jsonl")), ground(logs, None, None)


def test_two_processes_say_what_one_says(spoilt: Path) -> None:
    """Findings, notes and their order."""
    folders, trusted = folders_of(spoilt)
    serial = prove_many(folders, trusted, workers=1)
    assert sum(bool(proof.findings) for proof in serial) > 5
    assert prove_many(folders, trusted, workers=2) == serial


def test_a_shops_verdict_is_the_same_on_every_core(spoilt: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The whole verdict, with its order; and it did go to workers."""
    asked: list[int] = []
    real = verify_many._in_parallel

    def seen(folders: Sequence[Path], trusted: Trusted, workers: int) -> Iterator[list[BatchProof]]:
        asked.append(workers)
        return real(folders, trusted, workers)

    monkeypatch.setattr(verify_many, "_in_parallel", seen)
    monkeypatch.setattr(verify_many, "_cores", lambda: 2)
    together = verify(spoilt)
    assert asked == [2]
    monkeypatch.setattr(verify_many, "_cores", lambda: 1)
    alone = verify(spoilt)
    assert asked == [2]
    assert isinstance(alone, Verdict)
    assert together == alone
    assert not alone.ok


def test_few_batches_start_no_process(spoilt: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Starting workers would cost more than it saves."""
    folders, trusted = folders_of(spoilt)
    monkeypatch.setattr(verify_many, "_in_parallel", None)
    monkeypatch.setattr(verify_many, "_cores", lambda: 8)
    assert len(prove_many(folders[: SERIAL_BELOW - 1], trusted)) == SERIAL_BELOW - 1


@pytest.mark.parametrize("wrong", [BrokenProcessPool("a worker was killed"), OSError(28, "no room")])
@pytest.mark.parametrize("after", [0, 2])
def test_workers_that_fail_take_nothing_from_the_proof(
    spoilt: Path, monkeypatch: pytest.MonkeyPatch, wrong: Exception, after: int
) -> None:
    """What they did not do is done here."""
    folders, trusted = folders_of(spoilt)
    serial = prove_many(folders, trusted, workers=1)

    def failing(given: Sequence[Path], trusted: Trusted, workers: int) -> Iterator[list[BatchProof]]:
        del workers
        for at in range(after):
            yield list(prove_many(given[at * 5 : at * 5 + 5], trusted, workers=1))
        raise wrong

    monkeypatch.setattr(verify_many, "_in_parallel", failing)
    assert prove_many(folders, trusted, workers=2) == serial


def test_progress_runs_from_nought_to_all(spoilt: Path) -> None:
    """Never back, and never beyond."""
    folders, trusted = folders_of(spoilt)
    told: list[tuple[int, int]] = []
    prove_many(folders[:12], trusted, lambda done, of: told.append((done, of)))
    assert told == [(done, 12) for done in range(13)]


@pytest.mark.parametrize("terminal", [True, False])
def test_the_bar_is_drawn_on_a_terminals_standard_error_alone(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, *, terminal: bool
) -> None:
    """A pipe gets nothing, and standard output never does."""

    class Watched(io.StringIO):
        def isatty(self) -> bool:
            return terminal

    watched = Watched()
    monkeypatch.setattr(sys, "stderr", watched)
    monkeypatch.setenv("TERM", "xterm")
    with bar("proving") as told:
        told(0, 3)
        told(3, 3)
    assert ("proving" in watched.getvalue()) is terminal
    assert capsys.readouterr().out == ""
