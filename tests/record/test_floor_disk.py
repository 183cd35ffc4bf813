"""The disk fills up or goes away in the middle of a walk."""

from __future__ import annotations

import pytest

from runner.batch import intents as do
from runner.record.fold import fold
from runner.record.hold import Hold
from runner.record.journal_errors import NotWritten
from support.floors import Works
from support.journals import FaultyDisk


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
        assert [note.text for note in works.refold(batch).notes] == ["brushed"]
        assert works.proves(batch)

    def test_a_floor_without_its_folder_shows_and_says_so(self, works: Works) -> None:
        """Batches of others are told as away, not dropped in a trace."""
        batch = works.open()
        works.floor.put_away(batch)
        works.journal(batch).unlink()
        (standing,) = works.floor.standing()
        assert standing.state is None
        assert standing.problem == "its journal is away: No such file or directory"
