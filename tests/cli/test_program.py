"""The real program in a process of its own: how it starts, ends, and stands what is around it."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from support.cli import example, program, raw_controls, small_folder

ONE = ("--area", "1 dm2", "--pieces", "1")


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """The empty folder that the program runs in, which is also its home."""
    return tmp_path / "here"


def test_help_and_version_need_nothing(place: Path) -> None:
    """Every command is listed; nothing is written anywhere."""
    told = program("--help", cwd=place)
    assert told.status == 0
    for command in ("check", "demo", "init", "people", "plan", "reckon", "records", "rehearse", "verify"):
        assert f"\n  {command} " in told.out
    version = program("--version", cwd=place)
    assert version.out.startswith("tankwalk, version ")
    assert list(place.iterdir()) == []


def test_a_shop_is_made_planned_and_rehearsed_from_nothing(place: Path) -> None:
    """Three commands lead to a signed record, and touch no home folder."""
    assert program("init", "shop", cwd=place).status == 0
    file = str(Path("shop") / "procedures" / "stirrup-irons.toml")
    assert program("plan", file, "--area", "4 dm2", "--pieces", "2", cwd=place).status == 0
    made = program("rehearse", file, "--area", "4 dm2", "--pieces", "2", "--json", cwd=place)
    assert (made.status, made.err) == (0, "")
    assert Path(made.json()["record"]).is_absolute() or (place / made.json()["record"]).is_file()
    assert [path.name for path in place.iterdir()] == ["shop"]


def test_people_are_added_from_a_script(place: Path) -> None:
    """A PIN on standard input, the key in the folder of keys, no PIN in what is printed."""
    shop = str(example(place / "shop"))
    args = (
        "people",
        "add",
        "olive",
        "--name",
        "Olive Demo",
        "--role",
        "owner",
        "--pin-stdin",
        "--shop",
        shop,
    )
    keys = {"TANKWALK_KEYS": str(place / "keys")}
    ran = program(*args, "--json", cwd=place, stdin=b"135790\n", env=keys)
    assert (ran.status, ran.err) == (0, "")
    assert ran.json()["fingerprint"].startswith("SHA256:")
    assert "135790" not in ran.out
    assert [path.suffix for path in (place / "keys").iterdir()] == [".key"]


@pytest.mark.parametrize(
    "args",
    [
        (b"\xff\x1b[31m",),
        ("plan", b"\xff\x1b[31m.toml", *ONE),
        ("plan", "a.toml", "b\x1b[31m", *ONE),
        ("plan", "a.toml", *ONE, "--shop", "\x1b]0;owned\x07"),
        ("plan", "a.toml", *ONE, "--rack\x1b[2J"),
        ("reckon", b"\x9b2J"),
        ("reckon", "finish", "\x1b[31mFe"),
        ("init", "a.toml/\x9b\u202e"),
        ("rehearse", "\x1b[31m", *ONE),
        ("check", "\x1b[31m"),
    ],
)
@pytest.mark.parametrize("tail", [(), ("--json",)])
def test_whatever_is_typed_comes_back_harmless(
    args: tuple[str | bytes, ...], tail: tuple[str, ...], place: Path
) -> None:
    """Arguments are data: none of them reaches the terminal as it is, none ends in a trace."""
    small_folder(place / "s").rename(place / "a.toml")
    ran = program(*args, *tail, cwd=place)
    assert ran.status == 2
    assert "Traceback" not in ran.err
    assert raw_controls(ran.err + ran.out) == []
    assert ran.err.count("\n") == 1
    if tail:
        assert len(ran.errors()) == 1


def test_a_locale_without_the_trades_letters_prints_their_codes(place: Path) -> None:
    """An old terminal gets a sheet with codes in it, not a trace; JSON is ASCII anyway."""
    file = str(small_folder(place / "s"))
    ran = program("plan", file, *ONE, cwd=place, env={"PYTHONIOENCODING": "ascii"})
    assert (ran.status, ran.err) == (0, "")
    assert r"A/dm\xb2" in ran.out
    document = program("plan", file, *ONE, "--json", cwd=place, env={"PYTHONIOENCODING": "ascii"})
    assert document.out.isascii()
    assert document.json()["steps"]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")
@pytest.mark.parametrize("tail", [(), ("--json",)])
def test_a_full_disk_behind_the_output_is_said_once(tail: tuple[str, ...], place: Path) -> None:
    """Exit 2 and one line on standard error."""
    full = os.open("/dev/full", os.O_WRONLY)
    try:
        ran = program("reckon", "rinse", "--ratio", "1000", "--stages", "3", *tail, cwd=place, stdout=full)
    finally:
        os.close(full)
    assert (ran.status, ran.err.count("\n")) == (2, 1)
    assert ran.err.startswith("No space left on device; ")


def test_a_reader_that_goes_away_ends_it_quietly(place: Path) -> None:
    """A pager that was closed is no fault: no trace, nothing said."""
    reading, writing = os.pipe()
    os.close(reading)
    try:
        file = str(small_folder(place / "s"))
        ran = program("plan", file, *ONE, "--json", cwd=place, stdout=writing)
    finally:
        os.close(writing)
    assert (ran.status, ran.err) == (1, "")


@pytest.mark.parametrize("args", [(), ("--shop", "s"), ("demo",)])
def test_without_a_terminal_no_screen_is_drawn(args: tuple[str, ...], place: Path) -> None:
    """Exit 2 with what to do, and nothing of a screen in the pipe."""
    small_folder(place / "s")
    ran = program(*args, cwd=place / "s" if not args else place)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == "the app needs a terminal; run it in one, or use a command without a screen\n"


def test_a_folder_without_a_shop_says_how_to_get_one(place: Path) -> None:
    """The first thing that a newcomer may meet."""
    ran = program(cwd=place)
    assert ran.status == 2
    assert "tankwalk init" in ran.err
    assert "tankwalk demo" in ran.err


def test_the_same_program_starts_by_its_name(place: Path) -> None:
    """The command that is installed and ``python -m runner`` are one."""
    name = Path(sys.executable).with_name("tankwalk")
    if not name.exists():
        pytest.skip("the program is not installed beside this interpreter")
    args = ("reckon", "finish", "nonsense", "--json")
    assert program(*args, cwd=place, start=(str(name),)) == program(*args, cwd=place)
