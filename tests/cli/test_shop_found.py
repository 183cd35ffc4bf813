"""Which shop a command means: by option, by variable, by the nearest folder above the file, or here."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.cli import call, small_folder
from support.shops import ROUTE, SHOP

ONE = ("--area", "1 dm2", "--pieces", "1")


def shop_of(folder: Path, efficiency: str) -> Path:
    """A shop that is told by its nickel tank's efficiency; returns its route."""
    return small_folder(folder, shop=SHOP.replace("efficiency = 0.955", f"efficiency = {efficiency}"))


def used(capsys: pytest.CaptureFixture[str], *args: str) -> float:
    """The efficiency that a plan was made with."""
    plan = call(capsys, *args, *ONE, "--json").json()
    efficiency: float = plan["steps"][5]["efficiency"][0][1]
    return efficiency


@pytest.fixture
def three(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Three shops: one named by the variable, one above the file, one here; returns the file's route."""
    shop_of(tmp_path / "here", "0.91")
    shop_of(tmp_path / "variable", "0.92")
    shop_of(tmp_path / "option", "0.94")
    monkeypatch.setenv("TANKWALK_SHOP", str(tmp_path / "variable"))
    return shop_of(tmp_path / "above", "0.93")


def test_the_option_goes_before_all_else(three: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """On the command, and before it."""
    option = str(three.parents[2] / "option")
    assert used(capsys, "plan", str(three), "--shop", option) == 0.94
    assert used(capsys, "--shop", option, "plan", str(three)) == 0.94


def test_the_variable_goes_before_the_folder_above(three: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """TANKWALK_SHOP is a standing order."""
    assert used(capsys, "plan", str(three)) == 0.92


def test_the_folder_above_the_file_goes_before_here(
    three: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A route is planned for the shop that it lies in; also from a folder further down."""
    monkeypatch.delenv("TANKWALK_SHOP")
    assert used(capsys, "plan", str(three)) == 0.93
    parts = three.parent / "parts" / "deep"
    parts.mkdir(parents=True)
    (parts / "route.toml").write_text(ROUTE, encoding="utf-8")
    assert used(capsys, "plan", str(parts / "route.toml")) == 0.93


def test_here_is_the_last_resort(
    three: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A route that lies in no shop is planned for the one where the command runs."""
    monkeypatch.setenv("TANKWALK_SHOP", "")
    loose = tmp_path / "loose.toml"
    loose.write_text(three.read_text(encoding="utf-8"), encoding="utf-8")
    assert used(capsys, "plan", str(loose)) == 0.91


@pytest.mark.parametrize("command", ["plan", "rehearse"])
def test_a_folder_that_is_no_shop_is_said_by_who_named_it(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 2, with what to do."""
    file = small_folder(tmp_path / "s")
    named = call(capsys, command, str(file), *ONE, "--shop", str(tmp_path), "--json").errors()
    monkeypatch.setenv("TANKWALK_SHOP", str(tmp_path / "away"))
    by_variable = call(capsys, command, str(file), *ONE, "--json").errors()
    assert "--shop" in named[0]["message"]
    assert "TANKWALK_SHOP" in by_variable[0]["message"]
    assert "tankwalk init" in named[0]["remedy"]


def test_check_without_a_file_takes_every_route_of_the_shop(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """And neither people nor logs are needed."""
    file = small_folder(tmp_path / "s")
    (file.parent / "second.toml").write_text(ROUTE, encoding="utf-8")
    ran = call(capsys, "check", "--shop", str(tmp_path / "s"), "--json")
    assert [Path(one["file"]).name for one in ran.json()["files"]] == ["route.toml", "second.toml"]
    assert sorted(path.name for path in (tmp_path / "s").iterdir()) == ["procedures"]
