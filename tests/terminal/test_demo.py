"""The demo as it is: what a killed one leaves can be gone on with."""

from __future__ import annotations

import signal
from collections.abc import Callable
from pathlib import Path

from support.terminal import Line

Start = Callable[..., Line]


def test_a_demo_that_was_killed_is_gone_on_with(start: Start, place: Path) -> None:
    """The same call opens the same shop, with its owner and the PIN on the board."""
    demo = ("-m", "runner", "demo", "--dir", str(place / "demo"))
    line = start(*demo)
    line.sees("No batch is open", "PIN 246810")
    line.signal(signal.SIGKILL)
    assert line.ends() == -signal.SIGKILL
    line = start(*demo)
    line.sees("No batch is open", "PIN 246810")
    line.press("u")
    line.sees("Demo Owner (invented)")
    line.press("b")
    line.sees("No batch is open")
    line.quits()
