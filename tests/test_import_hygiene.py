"""What a command loads: nothing of a screen where none is drawn, nothing heavy where a sum is enough."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from support.cli import small_folder

SCREENS = ("textual",)
TABLES = ("textual", "rich")
READING = ("textual", "rich", "pydantic", "platformdirs")
NOTHING = (
    "textual",
    "rich",
    "jinja2",
    "pydantic",
    "cryptography",
    "bcrypt",
    "filelock",
    "platformdirs",
    "tomli_w",
)

SCRIPT = """
import sys
from runner.cli.main import run

status = run(sys.argv[1:])
print("loaded", status, *sorted({name.partition(".")[0] for name in sys.modules}))
"""
"""Runs a command and tells what it loaded, and how it ended."""

ONE = ("--area", "1 dm2", "--pieces", "1")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small shop with a rehearsal in it; commands run from its folder."""
    folder = tmp_path_factory.mktemp("shop") / "shop"
    small_folder(folder)
    status, _ = loaded(folder, "rehearse", "procedures/route.toml", *ONE)
    assert status == 0
    return folder


def loaded(folder: Path, *args: str) -> tuple[int, set[str]]:
    """Exit status of a command, and the packages that it loaded."""
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, *args],
        cwd=folder,
        env={**os.environ, "TANKWALK_SHOP": "", "TANKWALK_KEYS": str(folder / "keys")},
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    (told,) = [line for line in done.stdout.splitlines() if line.startswith("loaded ")]
    status, *names = told.split()[1:]
    return int(status), set(names)


@pytest.mark.parametrize(
    ("args", "unwanted"),
    [
        (("--version",), NOTHING),
        (("--help",), NOTHING),
        (("reckon", "rinse", "--ratio", "1000", "--stages", "3"), NOTHING),
        (("reckon", "finish", "Fe/Ni30d Cr mp", "--json"), NOTHING),
        (("init", "new"), TABLES),
        (("plan", "procedures/route.toml", *ONE, "--json"), (*TABLES, "cryptography")),
        (("plan", "procedures/route.toml", *ONE), (*SCREENS, "cryptography")),
        (("check", "procedures/route.toml", "--json"), (*SCREENS, "cryptography")),
        (("rehearse", "procedures/route.toml", *ONE), TABLES),
        (("verify", "logs/practice/practice-2026-0001"), READING),
        (("records",), READING),
        (("people", "list"), TABLES),
    ],
    ids=lambda value: " ".join(value[:2]) if value and not set(value) <= set(NOTHING) else "",
)
def test_a_command_loads_no_more_than_it_needs(
    args: tuple[str, ...], unwanted: tuple[str, ...], folder: Path
) -> None:
    """Without a screen no screen library; to read a record or do a sum, not what reads files strictly."""
    if args[0] == "verify":
        (rehearsal,) = (folder / "logs" / "practice").glob("practice-*-0001")
        args = ("verify", str(rehearsal))
    status, names = loaded(folder, *args)
    assert status in {0, 1}
    assert sorted(names & set(unwanted)) == []
    assert "runner" in names


def test_the_screens_do_load_their_library() -> None:
    """A check of the check: the app's own module brings it."""
    code = "import runner.screens.app, sys; print('textual' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "True"
