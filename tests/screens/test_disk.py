"""A disk that fails in mid-walk, and refusals: nothing is shown as done that is not written."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from msgspec.structs import replace

from runner.batch.decide import Refused
from runner.batch.state import Phase
from runner.record.journal import Journal
from support.journals import FaultyDisk
from support.screen import NOW, Stage, stage
from support.sheets import FINAL, NICKEL, RACK, sheet


@contextmanager
def full_disk(s: Stage, batch: str) -> Iterator[None]:
    """Nothing can be written to a batch's journal for a while."""
    journal: Journal = s.floor.hold(batch)._journal
    file = journal._file
    sound, broken = file._disk, FaultyDisk()
    broken.failing["write"] = 28
    file._disk = broken
    yield
    file._disk = sound


async def test_a_full_disk_says_to_go_on_on_paper_and_shows_nothing_as_done(tmp_path: Path) -> None:
    """The band says what to do; the step stays where it was; once there is room the same key goes on."""
    async with stage(tmp_path) as s:
        batch = await s.walk(sheet(RACK, FINAL))
        with full_disk(s, batch):
            await s.press("space")
            assert "▲ NOT WRITTEN: carry on on paper" in s.rows()[NOW]
            assert s.state(batch).phase is Phase.WAITING
            assert "space  begin" in s.rows()[-1]
            await s.press("b")
            assert "NOT WRITTEN" in s.text()
            await s.press("1")
            await s.sees("NOT WRITTEN")
        await s.press("space")
        assert s.state(batch).phase is Phase.IN_STEP
        assert "NOT WRITTEN" not in s.text()


async def test_a_refusal_is_said_in_words_with_what_to_do(tmp_path: Path) -> None:
    """A current below zero is refused; the line says why and what to do instead."""
    async with stage(tmp_path) as s:
        batch = await s.walk(sheet(replace(NICKEL, confirm=(), checks=()), FINAL))
        await s.press("space", "a")
        await s.type("-40")
        await s.press("enter")
        await s.sees("a current is never below zero here: type what the meter shows")
        assert s.state(batch).phase is Phase.IN_STEP
        assert s.state(batch).runs[-1].readings == ()


async def test_a_batch_that_does_not_prove_is_not_walked_and_says_so(tmp_path: Path) -> None:
    """A journal that was altered is listed with its problem; its digit opens nothing."""
    async with stage(tmp_path) as s:
        batch = await s.walk(sheet(RACK, FINAL))
        await s.press("space")
    journal = tmp_path / "shop" / "logs" / batch / "journal.jsonl"
    journal.write_bytes(journal.read_bytes().replace(b"stirrup irons", b"stirrup ironz"))
    async with stage(tmp_path) as s:
        await s.sees(batch, "does not prove")
        await s.press("1")
        await s.sees("owner")


async def test_an_unsealed_end_is_sealed_by_who_ended_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the power goes between the release and the seal, the board takes it up at the next start."""
    async with stage(tmp_path) as s:
        batch = await s.walk(sheet(RACK))
        await s.press("space", "1", "space", "space")
        await s.sees("How many pieces are good?")
        await s.type("4")
        await s.press("enter")
        monkeypatch.setattr("runner.record.seal.seal", _no_room)
        await s.pin("cleo")
        await s.sees("not sealed yet")
        monkeypatch.undo()
        await s.press("1")
        await s.sees("has ended and is not sealed")
        await s.pin("cleo")
        await s.sees("No batch is open")
        assert (s.floor.logs / batch / "record.toml.sig").exists()


def _no_room(*_: object) -> None:
    raise OSError(28, "No space left on device")


def test_a_refusal_has_reason_and_remedy() -> None:
    """What the line says is made of both."""
    refused = Refused("no step is under way", "enter the next step first")
    assert (refused.reason, refused.remedy) == ("no step is under way", "enter the next step first")
