"""A terminal dies at any point of a batch, another goes on: nothing told is lost, and all of it proves."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from runner.batch.questions import current_progress
from runner.batch.state import Phase
from runner.record import durable, seal
from runner.record.floor import CannotOpen
from runner.record.layout import RECORD_NAMESPACE
from runner.record.shop_journal import ShopJournal
from runner.record.shop_reading import read_shop
from support.floors import Works
from support.journals import error
from support.records import record_of

TESTS = Path(__file__).parents[1]

OTHER_TERMINAL = """
import sys
from pathlib import Path
from runner.batch.intents import Enter
from support.floors import Works

works = Works(Path(sys.argv[1]), Path(sys.argv[2]))
assert works.floor.take("2026-0001", works.now) is None
works.floor.act("2026-0001", Enter(), works.wait(5).now)
print("walking", flush=True)
sys.stdin.read()
"""
"""A process that enters the first step of the first batch, and then waits to be killed."""


def failing(*_: object, **__: object) -> str:
    """A disk that is full just now."""
    raise error(28)


class TestCrash:
    """A terminal dies at any point of a walk, and another goes on."""

    def test_after_every_single_action_the_state_is_the_same(self, works: Works) -> None:
        """The walk is broken off after each action; what is taken again equals what was left."""
        batch = works.open()
        while (done := works.follow(batch)) != "release":
            before = works.state(batch)
            works.crash()
            works.take(batch)
            assert works.state(batch) == before, done
        assert works.refold(batch).phase is Phase.RELEASED
        assert works.proves(batch)

    def test_the_timer_ran_on_while_nobody_watched(self, works: Works) -> None:
        """Within one boot by uptime: 100 s in the tank and 200 s dead are 300 s."""
        batch = works.open()
        works.follow_to(batch, "enter", times=2)
        works.wait(100)
        works.crash()
        works.wait(200)
        works.take(batch)
        done = current_progress(works.state(batch), works.now)
        assert done is not None
        assert done.elapsed_s == pytest.approx(300)
        assert not done.by_wall_clock

    def test_across_a_restart_of_the_machine_the_wall_clock_tells(self, works: Works) -> None:
        """The uptime began anew; the record says which clock it was."""
        batch = works.open()
        works.follow_to(batch, "enter", times=2)
        works.crash()
        works.now = works.now._replace(at_ms=works.now.at_ms + 300_000, boot="boot-2", up_ms=20_000)
        works.take(batch)
        done = current_progress(works.state(batch), works.now)
        assert done is not None
        assert done.elapsed_s == pytest.approx(300)
        assert done.by_wall_clock

    def test_a_torn_line_is_set_aside_and_kept(self, works: Works) -> None:
        """Half a line from a write that the power cut: nobody was told of it, and nothing of it is lost."""
        batch = works.open()
        works.follow_to(batch, "enter")
        before = works.state(batch)
        works.crash()
        with works.journal(batch).open("ab") as journal:
            journal.write(b'{"seq":99,"at":"2026-01-0')
        works.take(batch)
        assert works.state(batch) == before
        works.follow_to(batch, "release")
        told = record_of(works.logs / batch)
        assert told["journal"]["tails_set_aside"] == 1
        assert told["outcome"] == "released"
        assert works.proves(batch)

    def test_a_killed_process_holds_nothing(self, works: Works) -> None:
        """While it lives we are told its number, killed who had it; then it is ours, to the last line."""
        batch = works.open()
        works.floor.close()
        other = subprocess.Popen(
            [sys.executable, "-c", OTHER_TERMINAL, str(works.folder), str(works.keys)],
            env={**os.environ, "PYTHONPATH": str(TESTS)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )
        try:
            assert other.stdout is not None
            assert other.stdout.readline() == b"walking\n"
            refusal = works.floor.take(batch, works.now)
            assert refusal is not None
            assert f"process {other.pid} on " in refusal
            assert works.floor.left_behind(batch) is None
        finally:
            other.send_signal(signal.SIGKILL)
            other.communicate()
        had = works.floor.left_behind(batch)
        assert had is not None
        assert had.id == "otto"
        assert works.floor.take(batch, works.now) is None
        assert works.floor.left_behind(batch) is None
        assert works.state(batch).runs[-1].step == 1

    def test_a_second_terminal_is_told_who_has_it(self, works: Works) -> None:
        """And has it once the first puts it away."""
        batch = works.open()
        second = works.terminal()
        refusal = second.take(batch, works.now)
        assert refusal is not None
        assert refusal.startswith(f"batch {batch} is in hand at another terminal: process {os.getpid()} on ")
        works.floor.put_away(batch)
        assert second.take(batch, works.now) is None
        second.close()

    def test_a_batch_whose_line_in_the_shops_journal_is_missing_is_adopted(
        self, works: Works, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """The power went between the two journals: the next opening names it, with its own first line."""
        with monkeypatch.context() as broken:
            broken.setattr(ShopJournal, "write", failing)
            with pytest.raises(CannotOpen, match="No space left"):
                works.open()
        works.crash()
        assert read_shop(works.logs).batches == {}
        assert works.open() == "2026-0002"
        assert read_shop(works.logs).open_batches == ("2026-0001", "2026-0002")
        works.take("2026-0001")
        works.follow_to("2026-0001", "release")
        assert (works.logs / "2026-0001" / "record.toml").is_file()
        assert works.proves("2026-0001")
        assert works.proves("2026-0002")

    def test_an_empty_folder_of_a_broken_off_opening_blocks_no_number(self, works: Works) -> None:
        """The power went between the folder and the first line: nothing was told, the number is free."""
        (works.logs / "2026-0001").mkdir()
        batch = works.open()
        assert batch == "2026-0001"
        works.follow_to(batch, "release")

    def test_what_ended_and_was_not_sealed_is_sealed_later_to_the_same_bytes(
        self, works: Works, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """By the same person alone; record and signature are those that would have been written at once."""
        batch = works.open()
        with monkeypatch.context() as broken:
            broken.setattr(seal, "seal", failing)
            with pytest.raises(CannotOpen, match="ended, and not sealed yet"):
                works.follow_to(batch, "release")
        works.crash()
        shutil.copytree(works.logs / batch, tmp_path / "at once")
        seal.seal(tmp_path / "at once", works.people["cleo"].key, RECORD_NAMESPACE)
        works.wait(86_400)
        with pytest.raises(CannotOpen, match="ended by Cleo Demo, who alone can seal it"):
            works.floor.seal(batch, works.people["olive"], works.now)
        assert not (works.logs / batch / "record.toml").exists()
        works.floor.seal(batch, works.people["cleo"], works.now)
        for name in ("record.toml", "record.toml.sig"):
            assert (works.logs / batch / name).read_bytes() == (tmp_path / "at once" / name).read_bytes()
        assert read_shop(works.logs).open_batches == ()
        assert works.proves(batch)

    @pytest.mark.parametrize("written", ["record.toml", "record.toml.sig"])
    def test_a_seal_broken_off_half_way_is_done_again(
        self, written: str, works: Works, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """After the record, or after its signature, before the shop's line."""
        batch = works.open()
        kept = durable.write_new

        def cut(path: Path, data: bytes, disk: durable.Disk = durable.REAL, mode: int = 0o644) -> None:
            kept(path, data, disk, mode)
            if path.name == written:
                raise error(28)

        with monkeypatch.context() as broken:
            broken.setattr(durable, "write_new", cut)
            with pytest.raises(CannotOpen):
                works.follow_to(batch, "release")
        before = (works.logs / batch / written).read_bytes()
        works.crash()
        works.floor.seal(batch, works.people["cleo"], works.now)
        assert (works.logs / batch / written).read_bytes() == before
        assert read_shop(works.logs).open_batches == ()
        assert works.proves(batch)
