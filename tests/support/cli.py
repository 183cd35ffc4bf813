"""The command line in tests: called in this process where speed matters, or run as the real program."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from runner.cli.example import make_shop
from runner.cli.main import run
from support.shops import ROUTE, SHOP


@dataclass(frozen=True)
class Ran:
    """What a command came to."""

    status: int
    out: str
    err: str

    def json(self) -> Any:
        """Standard output as the one JSON document that it must be."""
        return json.loads(self.out)

    def errors(self) -> list[dict[str, Any]]:
        """The errors of a wrong call; fails where standard error does not tell the same."""
        assert self.status == 2
        document = self.json()
        assert list(document) == ["errors"]
        errors: list[dict[str, Any]] = document["errors"]
        assert len(errors) == len(self.err.splitlines())
        for error in errors:
            assert list(error) == ["file", "line", "message", "remedy"]
            assert error["message"]
            assert error["remedy"]
        return errors


def call(capsys: pytest.CaptureFixture[str], *args: str) -> Ran:
    """Run a command in this process."""
    capsys.readouterr()
    status = run(args)
    told = capsys.readouterr()
    return Ran(status, told.out, told.err)


@dataclass
class Shell:
    """Commands in one shop, called in this process, with what is typed or piped on standard input."""

    shop: Path
    monkeypatch: pytest.MonkeyPatch
    capsys: pytest.CaptureFixture[str]

    def given(self, stdin: bytes, *args: str) -> Ran:
        """Run a command of this shop's with these bytes to read."""
        self.monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8"))
        return call(self.capsys, *args, "--shop", str(self.shop))


def pin_lines(*pins: str) -> bytes:
    """PINs as standard input has them."""
    return "".join(f"{pin}\n" for pin in pins).encode()


def program(
    *args: str | bytes,
    cwd: Path,
    stdin: bytes = b"",
    env: Mapping[str, str] | None = None,
    stdout: int = subprocess.PIPE,
    start: tuple[str, ...] = (sys.executable, "-m", "runner"),
) -> Ran:
    """Run the real program in a process of its own, with a home folder that is the folder it runs in."""
    surroundings = {
        **{name: value for name, value in os.environ.items() if not name.startswith(("TANKWALK_", "XDG_"))},
        "HOME": str(cwd),
        **(env or {}),
    }
    done = subprocess.run(
        [*start, *args],
        cwd=cwd,
        env=surroundings,
        input=stdin,
        stdout=stdout,
        stderr=subprocess.PIPE,
        timeout=60,
        check=False,
    )
    out = done.stdout.decode("utf-8") if stdout == subprocess.PIPE else ""
    return Ran(done.returncode, out, done.stderr.decode("utf-8"))


def small_folder(folder: Path, route: str = ROUTE, shop: str = SHOP) -> Path:
    """A shop's folder with the small shop and route; returns the route's file."""
    (folder / "procedures").mkdir(parents=True)
    (folder / "procedures" / "shop.toml").write_text(shop, encoding="utf-8")
    file = folder / "procedures" / "route.toml"
    file.write_text(route, encoding="utf-8")
    return file


def example(folder: Path) -> Path:
    """The example shop, made in a folder as `init` makes it."""
    make_shop(folder)
    return folder


def raw_controls(text: str) -> list[str]:
    """The characters of an output that could move a cursor, colour a line or turn its order."""
    turning = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
    return [c for c in text if (ord(c) < 32 and c != "\n") or 127 <= ord(c) < 160 or c in turning]
