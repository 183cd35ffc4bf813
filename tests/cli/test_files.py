"""Whatever a file holds, a command says what is wrong, on which line, and what to do: never a trace."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from support.cli import call, raw_controls, small_folder
from support.shops import ROUTE, SHOP

COMMANDS = {
    "plan": ("--area", "1 dm2", "--pieces", "1"),
    "rehearse": ("--area", "1 dm2", "--pieces", "1"),
    "check": (),
}
HEAD = 'format = 1\ntitle = "Route (invented)"\nbasis = ["brass"]\n'

BYTES: dict[str, tuple[bytes, int | None, str]] = {
    "empty": (b"", 1, "nothing in it"),
    "blank": (b"\n\n# only a remark\n", 1, "nothing in it"),
    "huge": (b"# padding\n" * 1_000_000, None, "larger than 256 kB"),
    "binary": (b"\x7fELF\x02\x01\x00\x00" * 50, 1, "binary"),
    "not UTF-8": (HEAD.encode() + b'summary = "na\xefve"\n', 4, "no UTF-8"),
    "UTF-16": (HEAD.encode("utf-16"), 1, "binary"),
    "no TOML": (HEAD.encode() + b"step = = 3\n", 4, "does not read as TOML"),
    "dotted key of 40 kB": (HEAD.encode() + b"a." * 20_000 + b"a = 1\n", 4, "deep"),
    "deep lists": (HEAD.encode() + b"a = " + b"[" * 20_000 + b"]" * 20_000 + b"\n", 4, "deep"),
    "deep tables": (HEAD.encode() + b"a = " + b"{a=" * 5_000 + b"1" + b"}" * 5_000 + b"\n", 4, "deep"),
    "escape sequence": (HEAD.encode() + b'summary = "\x1b[2J"\n', 4, "control character U+001B"),
    "written escape": (HEAD.encode() + b'summary = "\\u001b[2J"\n', 4, "control character U+001B"),
    "C1 control": (HEAD.encode() + 'summary = "\x9b31m"\n'.encode(), 4, "control character U+009B"),
    "turned order": (HEAD.encode() + 'summary = "\u202etxt"\n'.encode(), 4, "control character U+202E"),
}


def faulty(capsys: pytest.CaptureFixture[str], command: str, file: Path) -> list[dict[str, object]]:
    """The errors of a command on a file, each with the file; and the same in text."""
    ran = call(capsys, command, str(file), *COMMANDS[command], "--json")
    errors = ran.errors()
    assert "Traceback" not in ran.err
    assert raw_controls(ran.err + ran.out) == []
    for error, told in zip(errors, ran.err.splitlines(), strict=True):
        place = f"{error['file']}:" if error["line"] is None else f"{error['file']}:{error['line']}:"
        assert told == f"{place} {error['message']}; {error['remedy']}"
    return errors


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("name", BYTES)
def test_bytes_that_are_no_procedure(
    name: str, command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """File and line, what is wrong, what to do; and no file keeps the parser busy."""
    content, line, said = BYTES[name]
    file = small_folder(tmp_path / "s")
    file.write_bytes(content)
    began = time.process_time()
    (error,) = faulty(capsys, command, file)
    assert time.process_time() - began < 5
    assert (error["file"], error["line"]) == (str(file), line)
    assert said in str(error["message"])


@pytest.mark.parametrize("name", ["empty", "huge", "binary", "not UTF-8", "dotted key of 40 kB"])
def test_bytes_that_are_no_shop(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A shop's file is held to the same."""
    content, line, said = BYTES[name]
    file = small_folder(tmp_path / "s")
    shop = file.with_name("shop.toml")
    shop.write_bytes(content)
    (error,) = faulty(capsys, "plan", file)
    assert (error["file"], error["line"]) == (str(shop), line)
    assert said in str(error["message"])


@pytest.mark.parametrize("command", COMMANDS)
def test_a_file_that_is_not_there_a_folder_and_a_pipe(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """None is read, none blocks."""
    folder = small_folder(tmp_path / "s").parent
    os.mkfifo(folder / "pipe.toml")
    for name, said in (("none.toml", "no such file"), (".", "is a folder"), ("pipe.toml", "no plain file")):
        (error,) = faulty(capsys, command, folder / name)
        assert said in str(error["message"])


SPOILT = {
    "unknown tank": ('tank = "nickel"', 'tank = "nickle"', "nickle", "nickel"),
    "unknown key": ('finish = "Fe', 'finnish = "Fe', "finnish", "finish"),
    "unknown unit": ('thickness = "0.8 mil"', 'thickness = "0.8 smoot"', "smoot", "µm"),
    "unknown metal": ('metal = "nickel"', 'metal = "nickle"', "nickle", "nickel"),
    "unknown step": ('does = "blast"', 'does = "balst"', "balst", "blast"),
    "no unit": ('dwell = "5 min"', "dwell = 5", "5", "min"),
    "wrong type": ('media = "glass bead"', "media = [1]", "list", "quotes"),
    "negative": ('thickness = "0.8 mil"', 'thickness = "-1 mil"', "-1", ""),
    "zero": ('thickness = "0.8 mil"', 'thickness = "0 mil"', "0", ""),
    "not a number": ('thickness = "0.8 mil"', 'thickness = "nan mil"', "nan", ""),
    "infinite": ('thickness = "0.8 mil"', "thickness = inf", "inf", ""),
}


@pytest.mark.parametrize("name", SPOILT)
@pytest.mark.parametrize("command", COMMANDS)
def test_a_fault_in_a_route_is_told_on_its_line_with_the_remedy(
    command: str, name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The slip is quoted, and what was likely meant, or what may stand there, is offered."""
    good, bad, said, offered = SPOILT[name]
    assert ROUTE.count(good) == 1
    file = small_folder(tmp_path / "s", route=ROUTE.replace(good, bad))
    (error,) = faulty(capsys, command, file)
    assert error["line"] == ROUTE[: ROUTE.index(good)].count("\n") + 1
    assert said in str(error["message"])
    assert offered in str(error["remedy"])


def test_every_fault_of_a_file_is_told_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In the order of lines."""
    route = ROUTE.replace('does = "blast"', 'does = "balst"').replace('tank = "soak"', 'tank = "saok"')
    errors = faulty(capsys, "check", small_folder(tmp_path / "s", route=route))
    lines = [int(str(error["line"])) for error in errors]
    assert len(lines) == 2
    assert lines == sorted(lines)


HOSTILE = ("\x1b[31mred\x1b]0;owned\x07", "a\x9b2J", "a\u202egnp", "a\nb: forged line", "a\tb", "n" * 255)


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("command", COMMANDS)
def test_a_hostile_file_name_reaches_no_terminal_raw(
    command: str, name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Not from a file that is missing, not from one that is wrong, not as JSON; and no line is forged."""
    folder = small_folder(tmp_path / "s").parent
    missing = call(capsys, command, str(folder / name), *COMMANDS[command], "--json")
    (folder / name).write_text("format = 1\n", encoding="utf-8")
    wrong = call(capsys, command, str(folder / name), *COMMANDS[command], "--json")
    for ran in (missing, wrong):
        assert raw_controls(ran.err + ran.out) == []
        assert ran.errors()


@pytest.mark.parametrize("name", HOSTILE)
def test_a_good_route_under_a_hostile_name_is_used_and_shown_safely(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The name is data like any other."""
    file = small_folder(tmp_path / "s")
    hostile = file.rename(file.with_name(name))
    for command in ("plan", "rehearse"):
        for tail in ((), ("--json",)):
            ran = call(capsys, command, str(hostile), *COMMANDS[command], *tail)
            assert (ran.status, ran.err) == (0, "")
            assert raw_controls(ran.out) == []


def test_faults_of_a_shop_come_before_those_of_a_route(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A route cannot be judged against a shop that does not read; its fault is told with the shop's file."""
    file = small_folder(tmp_path / "s", shop=SHOP.replace('solution = "watts-nickel"', 'solution = "wats"'))
    (error,) = faulty(capsys, "plan", file)
    assert str(error["file"]).endswith("shop.toml")
    assert "watts-nickel" in str(error["remedy"])
