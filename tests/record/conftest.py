"""A shop with its people, a locked key, a journal on a disk that fails on order; each test has its own."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from runner.record.journal import Journal
from runner.record.keys import Keys, UnlockedKey
from support.floors import Works, write_shop
from support.journals import FaultyDisk, entry
from support.locked_keys import PIN


@pytest.fixture(scope="session")
def hired(tmp_path_factory: pytest.TempPathFactory) -> Works:
    """A shop with its people, to be copied."""
    folder = tmp_path_factory.mktemp("hired")
    return Works(write_shop(folder / "shop"), folder / "keys").hire()


@pytest.fixture
def works(hired: Works, tmp_path: Path) -> Works:
    """That shop, this test's own."""
    shutil.copytree(hired.folder, tmp_path / "shop")
    return Works(tmp_path / "shop", hired.keys, hired.now, dict(hired.people))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a batch's journal lies."""
    (tmp_path / "2026-0001").mkdir()
    return tmp_path / "2026-0001" / "journal.jsonl"


@pytest.fixture
def disk() -> FaultyDisk:
    """A disk that fails on order."""
    return FaultyDisk()


@pytest.fixture
def journal(path: Path, disk: FaultyDisk) -> Journal:
    """A journal of three lines on that disk."""
    made = Journal.create(path, entry(0, "batch-opened"), disk=disk)
    made.append_many([entry(1), entry(2, signed=False)])
    return made


@pytest.fixture
def keys(tmp_path: Path) -> Keys:
    """A folder of keys whose derivation is quick."""
    return Keys(tmp_path / "keys", rounds=1)


@pytest.fixture
def made(keys: Keys) -> UnlockedKey:
    """A key in it."""
    return keys.create(PIN)
