"""The demo shop: made in an empty folder, gone on with where an earlier demo left one, else refused."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from runner.cli import demo
from runner.cli.example import make_shop
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.layout import LOGS, SHOP_JOURNAL
from runner.record.moment import SystemClock
from support.cli import call

Floors = list[Floor]
NOT_EMPTY = "the folder is not empty"


@pytest.fixture
def floors(monkeypatch: pytest.MonkeyPatch) -> Floors:
    """The floors on which the app would have been opened, in order; keys open fast."""
    opened: Floors = []

    def run_app(floor: Floor, notice: str, *, big: bool | None) -> int:
        assert demo.DEMO_PIN in notice
        assert big is None
        opened.append(floor)
        return 0

    monkeypatch.setattr(demo, "require_terminal", lambda: None)
    monkeypatch.setattr(demo, "run_app", run_app)
    monkeypatch.setattr(demo, "Keys", partial(Keys, rounds=1))
    return opened


def test_a_demo_goes_on_where_it_stands_and_its_pin_opens_its_key(
    floors: Floors, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It says how; the second call makes nothing anew, keeps what was changed, and signs with its key."""
    folder = tmp_path / "d"
    first = call(capsys, "demo", "--dir", str(folder))
    assert (first.status, first.err) == (0, "")
    assert f"to go on with it: tankwalk demo --dir {folder}" in first.out
    now = SystemClock().now()
    owner = floors[0].roll.unlock(demo.DEMO_ID, demo.DEMO_PIN, now)
    floors[0].roll.add("otto", "Otto Demo", "operator", demo.DEMO_PIN, owner, now)
    floors[0].roll.change(demo.DEMO_ID, owner, now, name="Olive Demo", pin="864213")
    journal = (folder / LOGS / SHOP_JOURNAL).read_bytes()
    assert call(capsys, "demo", "--dir", str(folder)).status == 0
    assert (folder / LOGS / SHOP_JOURNAL).read_bytes() == journal
    assert [one.name for one in floors[1].roll.people()] == ["Olive Demo", "Otto Demo"]
    assert floors[1].roll.unlock(demo.DEMO_ID, "864213", now).person.id == demo.DEMO_ID


def _of_something_else(folder: Path) -> None:
    (folder / "mine").write_text("mine", encoding="utf-8")


def _of_an_example_shop_with_nobody(folder: Path) -> None:
    folder.rmdir()
    make_shop(folder)


def _of_a_shop_of_somebody_s_own(folder: Path) -> None:
    _of_an_example_shop_with_nobody(folder)
    roll = Floor(folder, Keys(folder / demo.KEYS, rounds=1)).roll
    roll.add(demo.DEMO_ID, "Olive Demo", "owner", demo.DEMO_PIN, None, SystemClock().now())


def _of_a_demo_without_its_key(folder: Path) -> None:
    _of_an_example_shop_with_nobody(folder)
    roll = Floor(folder, Keys(folder / demo.KEYS, rounds=1)).roll
    roll.add(demo.DEMO_ID, demo.DEMO_NAME, "owner", demo.DEMO_PIN, None, SystemClock().now())
    shutil.rmtree(folder / demo.KEYS)


def _of_a_demo_whose_journal_does_not_prove(folder: Path) -> None:
    _of_a_shop_of_somebody_s_own(folder)
    journal = folder / LOGS / SHOP_JOURNAL
    journal.write_bytes(journal.read_bytes().replace(b"Olive Demo", demo.DEMO_NAME.encode()))


@pytest.mark.parametrize(
    "fill",
    [
        _of_something_else,
        _of_an_example_shop_with_nobody,
        _of_a_shop_of_somebody_s_own,
        _of_a_demo_without_its_key,
        _of_a_demo_whose_journal_does_not_prove,
    ],
)
def test_any_other_folder_that_is_not_empty_is_refused(
    fill: Callable[[Path], None], floors: Floors, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It names the folder and what to do, opens no app and writes nothing there."""
    folder = tmp_path / "there"
    folder.mkdir()
    fill(folder)
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    ran = call(capsys, "demo", "--dir", str(folder))
    assert (ran.status, ran.out, floors) == (2, "", [])
    assert ran.err == f"{folder}: {NOT_EMPTY}; name a new or an empty one\n"
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before
