"""What every test of the commands stands on: an empty folder, no shop named, keys nowhere near a home."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from runner.record.keys import Keys
from support.cli import example


@pytest.fixture(autouse=True)
def _surroundings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    monkeypatch.delenv("TANKWALK_SHOP", raising=False)
    monkeypatch.setenv("TANKWALK_KEYS", str(tmp_path / "keys"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))


@pytest.fixture(scope="session")
def read_only_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The example shop, for tests that write nothing into it."""
    return example(tmp_path_factory.mktemp("example") / "shop")


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An example shop whose keys open fast."""
    monkeypatch.setattr("runner.cli.signing.Keys", partial(Keys, rounds=1))
    return example(tmp_path / "shop")
