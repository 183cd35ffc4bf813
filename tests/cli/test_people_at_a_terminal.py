"""Adding people at a terminal: the PIN is asked for, and never shown."""

from __future__ import annotations

import io
import os
import signal
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pexpect
import pytest

from support.floors import write_shop

PIN, OWNER_PIN = "864213", "135790"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A shop without people."""
    return write_shop(tmp_path / "shop")


class Terminal:
    """`tankwalk people add` under a pseudo-terminal, and all that it showed."""

    def __init__(self, shop: Path, who: str, role: str) -> None:
        self.shown = io.StringIO()
        args = [
            "-m",
            "runner",
            "people",
            "add",
            who,
            "--name",
            who.title(),
            "--role",
            role,
            "--shop",
            str(shop),
        ]
        env = {**os.environ, "TANKWALK_KEYS": str(shop.parent / "keys")}
        self.child = pexpect.spawn(
            sys.executable,
            args,
            env=env,
            encoding="utf-8",
            timeout=60,
            dimensions=(24, 200),
            # What runs in the background may ignore it, and what it starts inherits that.
            preexec_fn=partial(signal.signal, signal.SIGINT, signal.SIG_DFL),
        )
        self.child.logfile_read = self.shown

    def answer(self, prompt: str, typed: str) -> None:
        """Type at a prompt, once the terminal has stopped echoing."""
        self.child.expect_exact(prompt)
        assert self.child.waitnoecho(timeout=45)
        self.child.sendline(typed)

    def end(self) -> int:
        """Exit status."""
        self.child.expect(pexpect.EOF)
        self.child.close()
        status: int = self.child.exitstatus
        return status


@pytest.fixture
def olive(shop: Path) -> Iterator[Terminal]:
    """The owner being added."""
    terminal = Terminal(shop, "olive", "owner")
    yield terminal
    terminal.child.close(force=True)


def test_the_new_pin_is_asked_twice_and_the_owners_once(olive: Terminal, shop: Path) -> None:
    """Neither is shown; both people are on the roll afterwards."""
    olive.answer("New PIN of olive:", OWNER_PIN)
    olive.answer("Repeat for confirmation:", OWNER_PIN)
    assert olive.end() == 0
    assert "SHA256:" in olive.shown.getvalue()
    otto = Terminal(shop, "otto", "operator")
    otto.answer("New PIN of otto:", PIN)
    otto.answer("Repeat for confirmation:", PIN)
    otto.answer("PIN of olive:", OWNER_PIN)
    assert otto.end() == 0
    shown = olive.shown.getvalue() + otto.shown.getvalue()
    assert OWNER_PIN not in shown
    assert PIN not in shown
    assert (shop / "logs" / "shop.jsonl").read_bytes().count(b"person-added") == 2


def test_two_that_differ_are_asked_again(olive: Terminal) -> None:
    """A gloved hand mistypes."""
    olive.answer("New PIN of olive:", OWNER_PIN)
    olive.answer("Repeat for confirmation:", PIN)
    olive.answer("New PIN of olive:", OWNER_PIN)
    olive.answer("Repeat for confirmation:", OWNER_PIN)
    assert olive.end() == 0


def test_breaking_it_off_adds_nobody(olive: Terminal, shop: Path) -> None:
    """Ctrl-C ends it with 130, as shells have it, and without a trace."""
    olive.child.expect_exact("New PIN of olive:")
    assert olive.child.waitnoecho(timeout=45)
    olive.child.sendintr()
    assert olive.end() == 130
    assert "Traceback" not in olive.shown.getvalue()
    assert list((shop / "logs").iterdir()) == []
