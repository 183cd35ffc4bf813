"""A shop made once, copied for each test, and lines that are let go of."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from support.terminal import Line, staffed_shop

Start = Callable[..., Line]


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with people and their keys."""
    folder = tmp_path_factory.mktemp("made")
    staffed_shop(folder)
    return folder


@pytest.fixture
def place(made: Path, tmp_path: Path) -> Path:
    """A copy of it."""
    shutil.copytree(made, tmp_path, dirs_exist_ok=True)
    return tmp_path


@pytest.fixture
def start(place: Path) -> Iterator[Start]:
    """Starts the program on that copy; ends it after the test."""
    lines: list[Line] = []

    def begin(*args: str) -> Line:
        lines.append(Line(place, args))
        return lines[-1]

    yield begin
    for line in lines:
        line.close()
