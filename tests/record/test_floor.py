"""A production floor: batches opened, walked, and sealed, by several hands, and under a clock that is set."""

from __future__ import annotations

import hashlib
import tomllib

import pytest

from runner.batch import intents as do
from runner.batch.decide import Refused
from runner.batch.questions import current_progress
from runner.batch.terms import Where
from runner.record.floor import Floor
from runner.record.shop_reading import read_shop
from support.floors import Works
from support.records import record_of


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
        told = record_of(works.logs / batch)
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


class TestClock:
    """The wall clock is set while a rack hangs."""

    @pytest.mark.parametrize("hours", [-1, 1])
    def test_a_clock_set_by_an_hour_is_noted_and_moves_no_timer(self, hours: int, works: Works) -> None:
        """Uptime tells the dwell; the record notes the step, and the batch is released all the same."""
        batch = works.open()
        works.follow_to(batch, "enter", times=2)
        works.wait(100)
        works.now = works.now._replace(at_ms=works.now.at_ms + hours * 3_600_000)
        works.floor.act(batch, do.WriteNote("clock set"), works.now)
        done = current_progress(works.state(batch), works.now)
        assert done is not None
        assert done.elapsed_s == pytest.approx(100)
        works.follow_to(batch, "release")
        told = record_of(works.logs / batch)
        assert told["journal"]["clock_steps_s"] == [pytest.approx(hours * 3600)]
        assert told["deviation"] == []
        assert works.proves(batch)

    def test_a_clock_that_drifts_by_a_second_is_not_worth_a_line(self, works: Works) -> None:
        """Up to two seconds between two facts."""
        batch = works.open()
        works.now = works.now._replace(at_ms=works.now.at_ms + 1_500)
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

    def test_a_rack_s_place_is_one_on_every_terminal_and_after_a_crash(self, works: Works) -> None:
        """Three are opened, the second ends: the third stays third here, there, and after the restart."""
        first, second, third = (works.open() for _ in range(3))
        works.floor.act(second, do.Abandon("dropped"), works.wait(10).now, works.people["otto"])
        places = {first: 1, third: 3}
        other = Floor(works.folder, works.floor.roll._keys)
        for floor in (works.floor, other):
            floor.roll.look_again()
            assert {one.batch: one.place for one in floor.standing()} == places
        other.close()
        works.crash()
        assert {one.batch: one.place for one in works.floor.standing()} == places

    def test_another_terminals_opening_is_seen(self, works: Works) -> None:
        """Its batch stands on this board too, as the disk shows it."""
        second = Floor(works.folder, works.floor.roll._keys)
        batch = works.open()
        second.roll.look_again()
        (standing,) = second.standing()
        assert standing.batch == batch
        assert standing.state == works.state(batch)
        second.close()
