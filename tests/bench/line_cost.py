"""What twelve racks cost a slow line, and how soon a key is answered on it.

Run it: ``python tests/bench/line_cost.py``. The real program runs under a pseudo-terminal. First nothing is
pressed and the bytes it sends are counted; then keys are pressed one by one, and the time from the press
until the picture that it leads to is there is taken.
"""

from __future__ import annotations

import os
import select
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from runner.record.moment import SystemClock
from support.batches import later
from support.floors import PIN, Works, write_shop
from support.terminal import Line

RACKS, IDLE_S, PRESSES = 12, 20.0, 100
EARLIER_S = 400.0
"""When the first rack was booked in; the last hangs in its tank when the measuring begins."""

SILENCE_S, APART_S = 0.12, 0.35
"""A line is silent when nothing came for so long; no hand presses an action key faster than that."""

LATEST_S = 5.0

MOST_BYTES_S, MOST_MS = 8000.0, 50.0

BOARD = f"{RACKS} open batches"
PAIRS = {
    "board to a rack's walk, and back": (("1", "step 2 of 3"), ("b", BOARD)),
    "help over the board, and back": (("?", "escape: back"), ("?", BOARD)),
}
"""Keys by turns, each with words of the picture that it leads to."""


def idle_bytes_s(descriptor: int) -> float:
    """Bytes a second while nothing happens but time."""
    end, count = time.perf_counter() + IDLE_S, 0
    while (left := end - time.perf_counter()) > 0:
        if select.select([descriptor], [], [], left)[0]:
            count += len(os.read(descriptor, 1 << 16))
    return count / IDLE_S


def empty(descriptor: int) -> None:
    """Read what was on its way."""
    while select.select([descriptor], [], [], SILENCE_S)[0]:
        os.read(descriptor, 1 << 16)


def answers_ms(line: Line, keys: tuple[tuple[str, str], ...]) -> list[float]:
    """Milliseconds from each press until the words of its picture had come, in order of length."""
    taken = []
    for number in range(PRESSES):
        key, words = keys[number % len(keys)]
        empty(line.child.child_fd)
        came, began = b"", time.perf_counter()
        line.press(key)
        while words.encode() not in came:
            assert time.perf_counter() - began < LATEST_S, f"{words} never came"
            select.select([line.child.child_fd], [], [], LATEST_S)
            came += os.read(line.child.child_fd, 1 << 16)
        taken.append((time.perf_counter() - began) * 1000)
        time.sleep(max(0.0, APART_S - (time.perf_counter() - began)))
    return sorted(taken)


def main() -> None:
    """Measure, and print the table."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shop, keys = write_shop(folder / "shop"), folder / "keys"
        works = Works(shop, keys, now=later(SystemClock().now(), -EARLIER_S)).hire()
        for _ in range(RACKS):
            works.follow_to(works.open(), "enter", times=2)
        works.floor.close()
        line = Line(folder)
        line.sees(BOARD)
        empty(line.child.child_fd)
        idle = idle_bytes_s(line.child.child_fd)
        sys.stdout.write(f"board with {RACKS} racks, idle: {idle:6.0f} bytes/s (target {MOST_BYTES_S:.0f})\n")
        line.press("1")
        line.sees("PIN")
        line.press(f"{PIN}\r")
        line.sees("step 2 of 3")
        line.press("b")
        line.sees(BOARD)
        for what, pair in PAIRS.items():
            taken = answers_ms(line, pair)
            half, most = taken[len(taken) // 2], taken[-max(1, len(taken) // 100)]
            sys.stdout.write(
                f"{what}: {half:4.0f} ms in the middle, {most:4.0f} ms at the 99th percentile"
                f" (target {MOST_MS:.0f})\n"
            )
        line.child.close(force=True)


if __name__ == "__main__":
    main()
