"""A shop with batches of two years, to be packed, spoilt and let go. Its years lie long back."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from runner.batch import intents as do
from support.kept import BEGAN, Kept
from support.mill import Mill


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Mill:
    """2001: two released. 2002: one released, one abandoned, one open. Not to be changed."""
    mill = Mill(tmp_path_factory.mktemp("kept") / "shop", now=BEGAN)
    for _ in range(2):
        mill.walk(mill.open())
    mill.wait(4 * 86_400)
    mill.walk(mill.open(part="bell crank"))
    abandoned = mill.open()
    mill.follow(abandoned)
    mill.act(abandoned, do.Abandon("called back"), "otto", fresh=True)
    mill.follow(mill.open())
    mill.close()
    return mill


@pytest.fixture
def kept(made: Mill, tmp_path: Path) -> Kept:
    """A copy for one test."""
    shutil.copytree(made.folder, tmp_path / "shop")
    return Kept(tmp_path / "shop", made)
