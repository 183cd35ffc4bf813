"""Walks that are killed: a child process follows one and tells each line that it was told is kept.

The child is killed with SIGKILL at a moment drawn by the caller. What it was told was kept must then stand on
the disk, another terminal must be able to go on, and all of it must prove. A kill takes the process away, not
the machine: what was written and not yet flushed is still there, so this shows the order of writing and the
mending, and not the flush (`support.journals.FaultyDisk` and `tests/record/test_durable.py` look at that).
"""

from __future__ import annotations

import contextlib
import json
import os
import random
import shutil
import signal
import time
from dataclasses import dataclass
from pathlib import Path

from runner.record.layout import SHOP_JOURNAL
from runner.record.lines import dump, line_hash, parse, raw_lines
from runner.record.shop_reading import read_shop
from runner.record.verify import verify
from support.batches import later
from support.floors import Works

LATER_S = 3600.0
"""How much later another terminal goes on; no clock of the route is shorter."""


@dataclass(frozen=True)
class Killed:
    """What came of one killed walk.

    Attributes:
        told: How many lines were acknowledged before the kill.
        finished: Whether the child had ended its walk before it was reached.
        mended: What the next terminal found.
        lost: Acknowledged lines that are not there, or not as they were; must be empty.
        findings: What does not prove after another terminal went on to the release; must be empty.
    """

    told: int
    finished: bool
    mended: str
    lost: tuple[str, ...]
    findings: tuple[str, ...]


def usual_times(hired: Works, folder: Path) -> list[float]:
    """How long each action of a whole walk takes on this disk, in seconds."""
    works = _copy(hired, folder)
    times = []
    began = time.perf_counter()
    batch = works.open()
    done = ""
    while done != "release":
        times.append(time.perf_counter() - began)
        began = time.perf_counter()
        done = works.follow(batch)
    times.append(time.perf_counter() - began)
    works.floor.close()
    return times


def kill_one(hired: Works, folder: Path, times: list[float], chance: random.Random) -> Killed:
    """Kill a walk somewhere within one of its actions, go on, and look.

    Args:
        hired: A shop with its people, to be copied.
        folder: Where the copy goes; must not be there.
        times: As `usual_times`.
        chance: Draws the action and the moment within it.

    Raises:
        ChildProcessError: The child ended before its time, by a fault of its own.
    """
    works = _copy(hired, folder)
    # One half anywhere in time, where opening and sealing are long; the other at any action.
    weights = times if chance.random() < 0.5 else [1.0] * len(times)  # a half
    action = chance.choices(range(len(times)), weights=weights)[0]
    moment_s = chance.uniform(0, 1.1) * times[action]
    told, finished = _killed_child(works, action, moment_s)
    lost = tuple(lost_lines(works.logs, told))
    mended = _go_on(works)
    verdict = verify(works.folder, None, works.people["olive"].key.fingerprint)
    findings = tuple(f"{one.where}: {one.what}" for one in verdict.findings)
    findings += tuple(lost_lines(works.logs, told))
    return Killed(len(told), finished, mended, lost, findings)


def _copy(hired: Works, folder: Path) -> Works:
    shutil.copytree(hired.folder, folder)
    return Works(folder, hired.keys, hired.now, dict(hired.people))


def _killed_child(works: Works, action: int, moment_s: float) -> tuple[list[dict[str, str]], bool]:
    """Have a child walk, and kill it a while after so many actions were acknowledged; what it told."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        ended = 1
        with contextlib.suppress(BaseException):  # nothing of the caller's may run on in this copy of it
            os.close(reads)
            _walk_and_tell(works, writes)
            ended = 0
        os._exit(ended)
    os.close(writes)
    with os.fdopen(reads, "rb") as pipe:
        heard = b""
        while heard.count(b"\n--\n") < action and (more := os.read(pipe.fileno(), 65536)):
            heard += more
        until = time.perf_counter() + moment_s
        while time.perf_counter() < until:
            pass
        finished = os.waitid(os.P_PID, child, os.WEXITED | os.WNOHANG | os.WNOWAIT) is not None
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        heard += pipe.read()
    if os.WIFEXITED(status) and os.WEXITSTATUS(status) != 0:
        raise ChildProcessError("the walk broke off by itself")
    whole = heard[: heard.rfind(b"\n") + 1].splitlines()
    return [json.loads(line) for line in whole if line != b"--"], finished


def _walk_and_tell(works: Works, out: int) -> None:
    """Open a batch and follow it to its release; after each action tell what is kept by now."""
    known: dict[str, int] = {}

    def tell(name: str, raws: list[bytes]) -> None:
        for number, raw in enumerate(raws[known.get(name, 0) :], start=known.get(name, 0) + 1):
            told = {"file": name, "line": str(number), "sha256": line_hash(raw)}
            os.write(out, json.dumps(told).encode("ascii") + b"\n")
        known[name] = len(raws)

    batch, done = works.open(), ""
    while True:
        # From memory, as the screen has it; the shop's journal as it was when its writer let go of it.
        if done != "release":
            tell(f"{batch}/journal.jsonl", [dump(line) for line in works.floor.hold(batch).lines])
        else:
            tell(f"{batch}/journal.jsonl", raw_lines(works.journal(batch).read_bytes())[0])
            tell(
                f"{batch}/record.toml",
                (works.logs / batch / "record.toml").read_bytes().splitlines(keepends=True),
            )
        tell(SHOP_JOURNAL, raw_lines((works.logs / SHOP_JOURNAL).read_bytes())[0])
        os.write(out, b"--\n")
        if done == "release":
            return
        done = works.follow(batch)


def lost_lines(logs: Path, told: list[dict[str, str]]) -> list[str]:
    """Acknowledged lines that are not on the disk as they were told."""
    files: dict[str, list[bytes]] = {}
    lost = []
    for one in told:
        name, number = one["file"], int(one["line"])
        if name not in files:
            path = logs / name
            files[name] = path.read_bytes().splitlines(keepends=True) if path.exists() else []
        lines = files[name]
        if number > len(lines) or line_hash(lines[number - 1]) != one["sha256"]:
            lost.append(f"{name} line {number}")
    return lost


def _go_on(works: Works) -> str:
    """Another terminal takes what stands there to its release; what it found to mend."""
    works.crash()
    mended = _mend(works)
    works.floor.close()
    return mended


def _mend(works: Works) -> str:
    found = [path.parent.name for path in works.logs.glob("*-*/journal.jsonl")]
    if not found:
        works.follow_to(works.wait(LATER_S).open(), "release")
        return "no batch yet"
    batch = found[0]
    known = read_shop(works.logs).batches.get(batch)
    if known is not None and known.closed is not None:
        return "all done"
    raws, rest = raw_lines(works.journal(batch).read_bytes())
    works.now = later(parse(raws[-1]).moment, LATER_S)
    if known is None:
        works.open()  # whoever opens next adopts it
    if works.floor.states()[batch].phase.ended:
        works.floor.seal(batch, works.people["cleo"], works.now)
        return "ended, not sealed"
    works.take(batch)
    works.follow_to(batch, "release")
    if known is None:
        return "not in the shop's journal"
    return "torn tail" if rest else "half walked"
