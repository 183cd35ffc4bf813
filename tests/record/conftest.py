"""A shop with its people, made once, and a copy of it for each test."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from support.floors import Works, write_shop


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
