"""A shop with sixty batches of every sort, for questions over all of them."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from support.mill import Mill, mixed


@pytest.fixture(scope="session")
def mill(tmp_path_factory: pytest.TempPathFactory) -> Mill:
    """The shop; not to be changed."""
    made = mixed(tmp_path_factory.mktemp("mill") / "shop", 60, seed=20)
    made.close()
    return made


@pytest.fixture
def shop(mill: Mill, tmp_path: Path) -> Path:
    """A copy of its folder, without an index."""
    copy = tmp_path / "shop"
    shutil.copytree(mill.folder, copy, ignore=shutil.ignore_patterns("index.sqlite*"))
    return copy
