"""The command that a shop has run for an alarm: a siren, a lamp, a message.

Owns the running of it: its own arguments and no shell, the alarm's words as data, a time limit, one run for
each alarm. It must never hold the walk up: it runs beside the screen, and a failure is told once.
"""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass, field

from runner.batch.alarms import Call
from runner.shop.heading import OwnCommand

Which = tuple[str, int, str]
"""Batch, step and alarm: what was told once is not told again while it lasts."""


@dataclass(slots=True)
class Siren:
    """Which alarms the command has been run for, and whether its failure was told."""

    command: OwnCommand | None
    _told: set[Which] = field(default_factory=set)
    _failed: bool = False

    def new(self, calls: tuple[Call, ...]) -> list[Call]:
        """Alarms that have begun to sound since the last look; one that fell quiet may sound anew."""
        if self.command is None:
            return []
        loud = {(call.batch, call.step, str(call.alarm)): call for call in calls if call.rings}
        fresh = [call for which, call in loud.items() if which not in self._told]
        self._told = set(loud)
        return fresh

    def run(self, words: Mapping[str, str]) -> str | None:
        """Run the command for one alarm; waits for it, so call it beside the screen.

        Args:
            words: Variables that it finds in its surroundings; their values also come on its standard
                input, a line each.

        Returns:
            What to say about a failure, the first time; None otherwise.
        """
        assert self.command is not None
        wrong = _failure(self.command, words)
        if wrong is None:
            self._failed = False
            return None
        told, self._failed = self._failed, True
        return None if told else f"the alarm command of shop.toml {wrong}: mend it; bell and banner go on"


def _failure(command: OwnCommand, words: Mapping[str, str]) -> str | None:
    try:
        child = subprocess.Popen(  # noqa: S603  # the shop's own words, from its own file, without a shell
            command.arguments,
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, **words},
            start_new_session=True,
        )
    except (OSError, ValueError) as error:
        return f"could not be started ({getattr(error, 'strerror', None) or error})"
    told = "".join(f"{text}\n" for text in words.values())
    try:
        child.communicate(told.encode(), command.timeout_s)
    except subprocess.TimeoutExpired:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(child.pid, signal.SIGKILL)  # its own group, begun for it: whatever it started goes too
        child.wait()
        return f"took longer than {command.timeout_s:g} s and was ended"
    return None if child.returncode == 0 else f"ended with {child.returncode}"
