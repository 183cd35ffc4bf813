"""A production floor: batches opened, walked, crashed, taken again and sealed, with the disk against it."""

from __future__ import annotations

import hashlib
import os
import shutil
import signal
import subprocess
import sys
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from runner.batch import intents as do
from runner.batch.decide import Refused
from runner.batch.events import Where
from runner.batch.questions import current_progress
from runner.batch.state import BatchState, Phase
from runner.record import durable, seal
from runner.record.floor import CannotOpen, Floor
from runner.record.fold import fold
from runner.record.hold import Hold
from runner.record.journal_errors import NotWritten
from runner.record.layout import RECORD_NAMESPACE
from runner.record.shop_journal import ShopJournal
from runner.record.shop_reading import read_shop
from runner.record.verify import verify
from support.floors import Works, write_shop
from support.journals import FaultyDisk, error

TESTS = Path(__file__).parents[1]

OTHER_TERMINAL = """
import sys
from pathlib import Path
from runner.batch.intents import Enter
from runner.record.verify import verify
from support.floors import Works

works = Works(Path(sys.argv[1]), Path(sys.argv[2]))
assert works.floor.take("2026-0001", works.now) is None
works.floor.act("2026-0001", Enter(), works.wait(5).now)
print("walking", flush=True)
sys.stdin.read()
"""
"""A process that enters the first step of the first batch, and then waits to be killed."""


@pytest.fixture(scope="module")
def hired(tmp_path_factory: pytest.TempPathFactory) -> Works:
    """A shop with its people, to be copied."""
    folder = tmp_path_factory.mktemp("hired")
    return Works(write_shop(folder / "shop"), folder / "keys").hire()


@pytest.fixture
def works(hired: Works, tmp_path: Path) -> Works:
    """That shop, this test's own."""
    shutil.copytree(hired.folder, tmp_path / "shop")
    return Works(tmp_path / "shop", hired.keys, hired.now, dict(hired.people))


def proves(works: Works, batch: str) -> bool:
    """Whether a batch proves against the owner's fingerprint."""
    works.floor.close()
    verdict = verify(works.logs / batch, None, works.people["olive"].key.fingerprint)
    assert verdict.findings == (), batch
    return verdict.ok


def refold(works: Works, batch: str) -> BatchState:
    """What a batch's bytes on the disk come to."""
    return fold(works.journal(batch).read_bytes()).state


class TestWalk:
    """From opening to seal."""

    def test_a_batch_in_good_order_ends_sealed(self, works: Works) -> None:
        """Record, signature and the shop's line about it; nothing stands open."""
        batch = works.open()
        works.follow_to(batch, "release")
        record = (works.logs / batch / "record.toml").read_bytes()
        told = tomllib.loads(record.decode())
        assert (told["outcome"], told["mode"], told["deviation"]) == ("released", "production", [])
        assert told["ended"]["id"] == "cleo"
        shop = read_shop(works.logs)
        assert shop.open_batches == ()
        assert shop.batches[batch].record == hashlib.sha256(record).hexdigest()

    def test_an_abandoned_batch_is_sealed_too(self, works: Works) -> None:
        """With its reason, and the shop's journal says which it was."""
        batch = works.open()
        works.follow_to(batch, "lift")
        works.floor.act(batch, do.Abandon("the parts were called back"), works.now, works.people["cleo"])
        told = tomllib.loads((works.logs / batch / "record.toml").read_text(encoding="utf-8"))
        assert (told["outcome"], told["ended"]["reason"]) == ("abandoned", "the parts were called back")
        assert read_shop(works.logs).batches[batch].abandoned

    def test_nothing_follows_the_end(self, works: Works) -> None:
        """A closed batch takes no fact more."""
        batch = works.open()
        works.follow_to(batch, "release")
        before = works.journal(batch).read_bytes()
        with pytest.raises(Refused, match="is released"):
            works.floor.act(batch, do.WriteNote("one more thing"), works.now)
        assert works.journal(batch).read_bytes() == before

    def test_numbers_run_on_within_a_year(self, works: Works) -> None:
        """And begin again with the next."""
        assert [works.open(), works.open()] == ["2026-0001", "2026-0002"]
        works.wait(366 * 86400)
        assert works.open() == "2027-0001"

    def test_a_refusal_writes_nothing(self, works: Works) -> None:
        """Not a byte."""
        batch = works.open()
        before = works.journal(batch).read_bytes()
        with pytest.raises(Refused):
            works.floor.act(batch, do.Leave(), works.now)
        assert works.journal(batch).read_bytes() == before


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
        assert refold(works, batch).phase is Phase.RELEASED
        assert proves(works, batch)

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
        works.now = replace(works.now, at_ms=works.now.at_ms + 300_000, boot="boot-2", up_ms=20_000)
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
        told = tomllib.loads((works.logs / batch / "record.toml").read_text(encoding="utf-8"))
        assert told["journal"]["tails_set_aside"] == 1
        assert told["outcome"] == "released"
        assert proves(works, batch)

    def test_a_killed_process_holds_nothing(self, works: Works) -> None:
        """While it lives we are told its number; after SIGKILL the batch is ours, to the last line."""
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
        finally:
            other.send_signal(signal.SIGKILL)
            other.communicate()
        assert works.floor.take(batch, works.now) is None
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
        assert proves(works, "2026-0001")
        assert proves(works, "2026-0002")

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
        assert proves(works, batch)

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
        assert proves(works, batch)


def failing(*_: object, **__: object) -> str:
    """A disk that is full just now."""
    raise error(28)


class TestDisk:
    """The disk fills up or goes away in the middle of a walk."""

    def test_a_full_disk_loses_nothing_that_was_acknowledged(self, works: Works) -> None:
        """The act is refused, the state stays, and the same act goes through once there is room."""
        disk = FaultyDisk()
        batch = works.open()
        works.floor.put_away(batch)
        hold = Hold.take(works.logs / batch, works.now, disk)
        stamp = do.Stamp(works.wait(5).now, works.people["otto"].person)
        before, bytes_before = hold.state, works.journal(batch).read_bytes()
        for room in (0, 1, 50):
            disk.room = room
            with pytest.raises(NotWritten, match="make room on the disk"):
                hold.do(do.Enter(), stamp, None)
            assert hold.state is before
        disk.heal()
        hold.do(do.Enter(), stamp, None)
        raw = works.journal(batch).read_bytes()
        assert raw.startswith(bytes_before)
        assert fold(raw).state == hold.state
        assert hold.state.runs[-1].step == 1
        hold.close()

    def test_a_folder_that_went_away_comes_back(self, works: Works) -> None:
        """A drive pulled in mid-walk: the act is refused, nothing is lost, and writing resumes."""
        batch = works.open()
        works.follow_to(batch, "enter")
        before = works.state(batch)
        away = works.logs.rename(works.folder / "away")
        with pytest.raises(NotWritten):
            works.floor.act(batch, do.WriteNote("brushed"), works.wait(5).now)
        assert works.state(batch) is before
        away.rename(works.logs)
        works.floor.act(batch, do.WriteNote("brushed"), works.now)
        works.follow_to(batch, "release")
        assert [note.text for note in refold(works, batch).notes] == ["brushed"]
        assert proves(works, batch)

    def test_a_floor_without_its_folder_shows_and_says_so(self, works: Works) -> None:
        """Batches of others are told as away, not dropped in a trace."""
        batch = works.open()
        works.floor.put_away(batch)
        works.journal(batch).unlink()
        (standing,) = works.floor.standing()
        assert standing.state is None
        assert standing.problem == "its journal is away: No such file or directory"


class TestClock:
    """The wall clock is set while a rack hangs."""

    @pytest.mark.parametrize("hours", [-1, 1])
    def test_a_clock_set_by_an_hour_is_noted_and_moves_no_timer(self, hours: int, works: Works) -> None:
        """Uptime tells the dwell; the record notes the step, and the batch is released all the same."""
        batch = works.open()
        works.follow_to(batch, "enter", times=2)
        works.wait(100)
        works.now = replace(works.now, at_ms=works.now.at_ms + hours * 3_600_000)
        works.floor.act(batch, do.WriteNote("clock set"), works.now)
        done = current_progress(works.state(batch), works.now)
        assert done is not None
        assert done.elapsed_s == pytest.approx(100)
        works.follow_to(batch, "release")
        told = tomllib.loads((works.logs / batch / "record.toml").read_text(encoding="utf-8"))
        assert told["journal"]["clock_steps_s"] == [pytest.approx(hours * 3600)]
        assert told["deviation"] == []
        assert proves(works, batch)

    def test_a_clock_that_drifts_by_a_second_is_not_worth_a_line(self, works: Works) -> None:
        """Up to two seconds between two facts."""
        batch = works.open()
        works.now = replace(works.now, at_ms=works.now.at_ms + 1_500)
        works.floor.act(batch, do.WriteNote("nothing"), works.now)
        assert works.state(batch).clock_steps_s == ()


class TestSeveral:
    """More than one rack, more than one hand."""

    def test_facts_are_signed_by_whose_key_is_unlocked_for_that_batch(self, works: Works) -> None:
        """Two batches, two people; and a fact without a key is taken unsigned."""
        first, second = works.open("otto"), works.open("cleo")
        for batch in (first, second):
            works.floor.act(batch, do.Enter(), works.wait(2).now)
        assert [works.floor.hold(b).lines[-1].who for b in (first, second)] == ["otto", "cleo"]
        works.floor.put_away(first)
        assert works.floor.take(first, works.now) is None
        works.floor.act(first, do.WriteNote("no key just now"), works.now)
        assert works.floor.hold(first).lines[-1].sig is None
        assert works.floor.session(first) is None

    def test_something_due_is_told_until_a_hand_acknowledges_it(self, works: Works) -> None:
        """A rack through with its tank; then quiet; then lifted."""
        batch = works.open()
        works.floor.act(batch, do.Enter(), works.now)
        assert not works.floor.anything_due(works.now)
        works.wait(30)
        assert works.floor.anything_due(works.now)
        works.floor.act(batch, do.Acknowledge(), works.now)
        assert not works.floor.anything_due(works.now)

    def test_a_pause_outlasts_a_crash(self, works: Works) -> None:
        """Current off in the tank; the state says so after the restart."""
        batch = works.open()
        works.follow_to(batch, "enter", times=2)
        works.floor.act(batch, do.Interrupt(Where.IN_TANK), works.wait(10).now)
        works.crash()
        works.take(batch)
        assert works.state(batch).runs[-1].pauses[-1].ended is None

    def test_another_terminals_opening_is_seen(self, works: Works) -> None:
        """Its batch stands on this board too, as the disk shows it."""
        second = Floor(works.folder, works.floor.roll._keys)
        batch = works.open()
        second.roll.look_again()
        (standing,) = second.standing()
        assert standing.batch == batch
        assert standing.state == works.state(batch)
        second.close()
