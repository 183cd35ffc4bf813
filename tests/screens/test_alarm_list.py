"""Alarms on the screens: band of the board, another rack's in the walk, quieting, the shop's command."""

from __future__ import annotations

import json
import sys
from collections.abc import AsyncIterator
from functools import partial
from pathlib import Path

import pytest
import pytest_asyncio
from msgspec.structs import replace

from runner.batch import intents as do
from runner.batch.alarms import Alarm, Call
from runner.procedure.sheet import PlannedStep
from runner.screens.siren import Siren
from runner.shop.heading import OwnCommand
from support.screen import Stage, stage
from support.sheets import CHROMIUM, FINAL, NICKEL, RACK, sheet

CALL = Call("2026-0001", 1, Alarm.TIME_UP, 10.0, False, 1800.0)


@pytest_asyncio.fixture
async def s(tmp_path: Path) -> AsyncIterator[Stage]:
    """The app at 80×24."""
    async with stage(tmp_path) as it:
        yield it


async def due(s: Stage) -> str:
    """A rack in the chromium tank whose time is up, and the board."""
    batch = await s.walk(sheet(CHROMIUM, RACK, FINAL))
    await s.press("space", "1", "space")
    await s.press("b")
    await s.wait(241)
    return batch


async def test_the_board_says_the_worst_alarm_and_what_to_do(s: Stage) -> None:
    """Rack, alarm, action and time left stand in one line; with the rack out the line is empty."""
    batch = await due(s)
    assert "▲ 1 stirrup irons: time is up, lift it out" in s.rows()[2]
    await s.press("1", "space", "space", "b")
    assert not s.state(batch).inside
    assert "time is up" not in s.text()


async def test_a_walk_says_that_another_rack_calls(s: Stage) -> None:
    """Who serves one rack is told of the other without leaving, by the digit that it has on the board."""
    await due(s)
    other = await s.open(sheet(RACK, FINAL))
    s.app.to_walk(other)
    await s.sees("▲ 1 stirrup irons: time is up, lift it out")


async def test_an_alarm_is_put_off_from_the_board_with_a_pin_and_comes_back(s: Stage) -> None:
    """Two minutes of quiet, signed for by who put it off; then, past its latest time, it sounds again."""
    batch = await due(s)
    await s.press("a")
    await s.sees("Which rack's alarm?")
    await s.press("1")
    await s.sees("put off for 2 min, signed")
    await s.press("2")
    await s.pin()
    await s.until(lambda: bool(s.state(batch).runs[-1].quieted), "it was written")
    (quiet,) = s.state(batch).runs[-1].quieted
    assert (quiet.alarm, quiet.who, quiet.for_s) == (Alarm.TIME_UP, "otto", 120.0)
    rung = len(s.app.rung)
    await s.wait(5)
    assert len(s.app.rung) == rung
    await s.wait(120)
    assert len(s.app.rung) == rung + 1
    assert "overstayed" in s.rows()[2]


async def test_without_an_alarm_there_is_nothing_to_quieten(s: Stage) -> None:
    """The key says so."""
    await s.press("a")
    await s.sees("no alarm stands")


WRITE = (
    "import json, os, sys; "
    "said = [os.environ['TANKWALK_ALARM'], sys.stdin.read(), sys.argv[2:]]; "
    "json.dump(said, open(sys.argv[1], 'w'))"
)


async def test_the_shop_s_command_is_run_once_for_an_alarm_with_its_words_as_data(tmp_path: Path) -> None:
    """A real program finds the alarm in its surroundings and on its input; no shell reads its arguments."""
    told = tmp_path / "told.json"
    async with stage(tmp_path) as s:
        s.app.siren.command = OwnCommand((sys.executable, "-c", WRITE, str(told), "; $(x)"), 60.0)
        await due(s)
        await s.until(lambda: told.exists() and bool(told.read_text()), "the command ran")
        alarm, lines, rest = json.loads(told.read_text())
        told.unlink()
        await s.wait(1)
        # Not the library's own wait: of a list that is empty already it waits for every worker, for ever.
        await s.until(lambda: all(w.group != "siren" for w in s.app.workers), "it had ended")
    assert (alarm, rest) == ("time is up", ["; $(x)"])
    assert "stirrup irons\n" in lines
    assert not told.exists()


@pytest.mark.parametrize(
    ("arguments", "timeout_s", "said"),
    [
        (("/nowhere/siren",), 5.0, "could not be started"),
        ((sys.executable, "-c", "raise SystemExit(3)"), 20.0, "ended with 3"),
        ((sys.executable, "-c", "import time; time.sleep(60)"), 0.2, "took longer than 0.2 s and was ended"),
    ],
)
def test_a_command_that_fails_is_told_once(arguments: tuple[str, ...], timeout_s: float, said: str) -> None:
    """Missing, failing or hanging: one sentence the first time, none the second."""
    siren = Siren(OwnCommand(arguments, timeout_s))
    assert said in (siren.run({"TANKWALK_ALARM": "time is up"}) or "")
    assert siren.run({"TANKWALK_ALARM": "time is up"}) is None


def test_an_alarm_that_falls_quiet_may_sound_anew() -> None:
    """While it lasts it is told once; a shop without a command is told nothing."""
    siren = Siren(OwnCommand(("true",), 1.0))
    assert siren.new((CALL,)) == [CALL]
    assert siren.new((CALL,)) == []
    assert siren.new(()) == []
    assert siren.new((CALL,)) == [CALL]
    assert Siren(None).new((CALL,)) == []


async def test_the_key_of_an_alarm_is_its_rack_s_digit(s: Stage) -> None:
    """Rack 2 calls and rack 1 does not: its row has the key 2, and 1 chooses nothing."""
    await s.open(sheet(RACK, FINAL), part="rosettes")
    batch = await due(s)
    await s.press("a")
    await s.sees("Which rack's alarm?")
    assert " 2  stirrup irons: time is up, lift it out" in s.text()
    assert " 1  " not in s.row_with("Which rack's alarm?") + s.row_with("│   1")
    await s.press("1")
    await s.sees("Which rack's alarm?")
    await s.press("2")
    await s.sees("2 stirrup irons: time is up", "heard: quiet until it comes anew")
    await s.press("1")
    await s.until(lambda: bool(s.state(batch).runs[-1].quieted), "it was written")


def was_heard(s: Stage, batch: str, times: int) -> bool:
    """Whether so many alarms of a step were quieted."""
    return len(s.state(batch).runs[-1].quieted) == times


async def test_a_rack_stands_once_in_the_list_with_its_worst_alarm(s: Stage) -> None:
    """Rack out and current off, both too long: one row, and the other when the first is quiet."""
    struck = PlannedStep(
        1,
        "Strike",
        "plate",
        "clock",
        tank="strike",
        tank_title="Strike",
        polarity="cathodic",
        dwell_s=5.0,
        next_within_s=20.0,
        current_within_s=20.0,
    )
    batch = await s.open(sheet(struck, replace(NICKEL, number=2), FINAL))
    s.floor.act(batch, do.Enter(), s.clock())
    s.clock.wait(5)
    s.floor.act(batch, do.Leave(), s.clock())
    await s.wait(60)
    for alarm in (Alarm.OUT_TOO_LONG, Alarm.CURRENT_OFF):
        await s.press("a")
        await s.sees("Which rack's alarm?", alarm)
        assert s.text().count("   1  ") == 1
        await s.press("1")
        await s.sees("heard: quiet until it comes anew")
        heard = len(s.state(batch).runs[-1].quieted)
        await s.press("1")
        await s.until(partial(was_heard, s, batch, heard + 1), "it was written")
        assert s.state(batch).runs[-1].quieted[-1].alarm == alarm
    await s.press("a")
    await s.sees("no alarm stands")
