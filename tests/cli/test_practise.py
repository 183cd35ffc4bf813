"""``tankwalk practise`` from the command line: what it refuses, and a debrief when it is left."""

from __future__ import annotations

import io
import json
import sys
from functools import partial
from pathlib import Path

import pytest

from runner.batch.practice_log import PracticeLog
from runner.cli import practise
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.practised import PractisedLedger
from runner.record.shop_reading import read_shop
from runner.screens.practice_app import PracticeApp
from support.cli import call, small_folder
from support.floors import PIN, hire
from support.journals import moment


def test_without_a_terminal_nothing_is_opened(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It says so in a sentence, and leaves no folder behind."""
    file = small_folder(tmp_path / "s")
    ran = call(capsys, "practise", str(file))
    assert ran.status == 2
    assert ran.err.startswith("the app needs a terminal")
    assert not (tmp_path / "s" / "logs" / "practice").exists()


def test_a_load_that_cannot_run_is_not_practised(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As a rehearsal refuses it."""
    file = small_folder(tmp_path / "s")
    ran = call(capsys, "practise", str(file), "--area", "100 dm2")
    assert (ran.status, ran.out) == (2, "")
    assert "change the load or the shop" in ran.err


@pytest.mark.parametrize("seed", ["-1", "seven"])
def test_a_seed_is_a_count(tmp_path: Path, capsys: pytest.CaptureFixture[str], seed: str) -> None:
    """Anything else is a wrong call."""
    ran = call(capsys, "practise", str(small_folder(tmp_path / "s")), "--seed", seed)
    assert ran.status == 2
    assert "--seed" in ran.err


def test_leaving_prints_the_debrief_and_keeps_it_beside_the_batch(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever leaves at once reads that no fault came, and none of those still to come.

    On the terminal its lines are wrapped between words, to its width; in the file they stand whole.
    """
    logs: list[PracticeLog] = []

    def left(app: PracticeApp, floor: object) -> int:
        del floor
        logs.append(app.noted)
        app.floor.close()
        return 0

    monkeypatch.setattr(practise, "require_terminal", lambda: None)
    monkeypatch.setattr(practise, "carry", left)
    monkeypatch.setenv("COLUMNS", "40")
    ran = call(capsys, "practise", str(small_folder(tmp_path / "s")), "--seed", "7")
    assert ran.status == 0, ran.err
    (folder,) = (tmp_path / "s" / "logs" / "practice").iterdir()
    debrief = (folder / practise.DEBRIEF).read_text(encoding="utf-8")
    assert debrief.startswith("PRACTICE · ")
    assert "No faults came so far" in debrief
    assert logs[0].faults
    assert not [fault for fault in logs[0].faults if fault.trouble in debrief or fault.meter in debrief]
    printed = ran.out.partition("The practice batch and")[0].splitlines()
    assert max(map(len, printed)) <= 40
    assert " ".join(printed).split()[: len(debrief.split())] == debrief.split()
    first = json.loads((folder / "journal.jsonl").read_text(encoding="utf-8").split("\n")[0])
    assert (first["data"]["mode"], first["data"]["batch"]) == ("practice", folder.name)
    assert [path.name for path in (tmp_path / "s" / "logs").iterdir()] == ["practice"]


def test_what_was_entered_in_the_ledger_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """By whom; in a shop without people the app is given no ledger at all."""
    file = small_folder(tmp_path / "s")
    given: list[PractisedLedger | None] = []

    def entered(app: PracticeApp, floor: object) -> int:
        del floor
        ledger = app.ledger
        given.append(ledger)
        if ledger is not None:
            (person,) = ledger.people()
            assert ledger.enter(ledger.unlock(person.id, PIN)) is None
            assert ledger.enter(ledger.unlock(person.id, PIN)) is None
        app.floor.close()
        return 0

    monkeypatch.setattr(practise, "require_terminal", lambda: None)
    monkeypatch.setattr(practise, "carry", entered)
    monkeypatch.setattr(practise, "Keys", partial(Keys, rounds=1))
    assert "ledger" not in call(capsys, "practise", str(file), "--seed", "1").out
    hire(Floor(tmp_path / "s", Keys(rounds=1)), {"olive": ("Olive Demo", "owner")}, moment())
    out = call(capsys, "practise", str(file), "--seed", "2").out
    assert "Entered in the route's ledger: practised by Olive Demo" in out
    assert given[0] is None
    (line,) = read_shop(tmp_path / "s" / "logs").ledger
    assert (line.id, line.file) == ("olive", file.name)


def test_a_practice_that_was_left_is_offered_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Yes goes on in the same folder with the same seed; no begins anew, and it is offered no more.

    With a seed of which none was left, or with another load, a practice begins anew without a question.
    One that was left before another of its route and load is offered where its seed is given.
    """
    file = small_folder(tmp_path / "s")
    walked: list[tuple[str, int]] = []

    def left(app: PracticeApp, floor: object) -> int:
        del floor
        walked.append((app.practice.batch, app.noted.seed))
        app.floor.close()
        return 0

    monkeypatch.setenv("COLUMNS", "200")

    def practised(answer: str, *args: str) -> str:
        monkeypatch.setattr(sys, "stdin", io.StringIO(answer))
        ran = call(capsys, "practise", str(file), *args)
        assert ran.status == 0, ran.err
        return ran.out

    monkeypatch.setattr(practise, "require_terminal", lambda: None)
    monkeypatch.setattr(practise, "carry", left)
    first = practised("", "--seed", "7")
    assert "left before its end: the same command takes it up again" in first
    again = practised("y\n")
    assert "practice-" in again
    assert "was left at step 1 of" in again
    assert "its seed is 7" in again
    assert walked[1] == walked[0]
    assert "give it also --seed 7" in again
    assert "Go on" not in practised("", "--seed", "8")
    assert "its seed is 7" in practised("y\n", "--seed", "7")
    assert walked[3] == walked[0]
    assert "Go on" not in practised("", "--pieces", "3")
    assert "Go on" in practised("n\n", "--seed", "8")
    assert "its seed is 8" in practised("n\n")
    assert len({batch for batch, _ in walked}) == 5
    assert [seed for _, seed in walked[:3]] == [7, 7, 8]
