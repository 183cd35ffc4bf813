"""What twelve racks cost a slow line, and how soon a key is answered on it.

Run it: ``nice -n -15 python tests/bench/line_cost.py [presses of each pair]``. The real program runs under a
pseudo-terminal. First nothing is pressed, and the bytes it sends and the time it computes are counted; then
keys are pressed one by one, and the time from the press until the picture that it leads to is there is taken,
and how long the program computed for it beyond what it does when nothing is pressed.
"""

from __future__ import annotations

import os
import select
import sys
import tempfile
import time
from dataclasses import dataclass
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

BOARD, WALK, HELP = f"{RACKS} open batches", "step 2 of 3", "escape: back"
ONE, NONE = "▸ 2▁", "▸ ▁"

Press = tuple[str, str]
"""A key, and words of the picture that it leads to."""

PAIRS: dict[str, tuple[Press, Press]] = {
    "board to a rack's walk": (("1", WALK), ("b", BOARD)),
    "help over the board": (("?", HELP), ("?", BOARD)),
    "help over the walk": (("?", HELP), ("?", WALK)),
    "a digit of an answer": (("2", ONE), ("\x7f", NONE)),
    "a note begun": (("n", "enter: keep it"), ("\x1b", WALK)),
}
"""Keys by turns: one that leads there, and one back. All but the first two pairs are pressed in the walk."""

IN_THE_WALK = "help over the walk"
"""The first pair that is pressed in the walk."""


@dataclass(frozen=True)
class Idle:
    """What the program does while nothing happens but time: bytes sent and seconds computed, in a second."""

    bytes_s: float
    cpu: float


def cpu_s(line: Line) -> float:
    """Seconds that the program has computed, in all its threads (proc(5): utime and stime, in ticks)."""
    fields = Path(f"/proc/{line.child.pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def idle(line: Line) -> Idle:
    """Look on for a while."""
    descriptor, before = line.child.child_fd, cpu_s(line)
    end, count = time.perf_counter() + IDLE_S, 0
    while (left := end - time.perf_counter()) > 0:
        if select.select([descriptor], [], [], left)[0]:
            count += len(os.read(descriptor, 1 << 16))
    return Idle(count / IDLE_S, (cpu_s(line) - before) / IDLE_S)


def empty(descriptor: int) -> None:
    """Read what was on its way."""
    while select.select([descriptor], [], [], SILENCE_S)[0]:
        os.read(descriptor, 1 << 16)


def answer_ms(line: Line, press: Press) -> float:
    """Milliseconds from a press until the words of its picture had come."""
    descriptor, (key, words) = line.child.child_fd, press
    empty(descriptor)
    came, began = b"", time.perf_counter()
    os.write(descriptor, key.encode())
    while words.encode() not in came:
        assert time.perf_counter() - began < LATEST_S, f"{words} never came"
        select.select([descriptor], [], [], LATEST_S)
        came += os.read(descriptor, 1 << 16)
    taken = time.perf_counter() - began
    time.sleep(max(0.0, APART_S - taken))
    return taken * 1000


def told(what: str, taken: list[float]) -> str:
    """A row of the table: the middle and the 99th percentile; with up to 100 presses that is the longest."""
    ordered = sorted(taken)
    half, most = ordered[len(ordered) // 2], ordered[-max(1, len(ordered) // 100)]
    return f"{what:<32} {half:4.0f} ms, {most:4.0f} ms at the 99th percentile (target {MOST_MS:.0f})"


def measured(
    line: Line, pair: tuple[Press, Press], presses: int, calm: Idle
) -> tuple[list[list[float]], float]:
    """Milliseconds of each press, there and back, and the milliseconds computed for one."""
    began, before = time.perf_counter(), cpu_s(line)
    taken = [[answer_ms(line, press) for press in pair] for _ in range(presses // 2)]
    computed = cpu_s(line) - before - calm.cpu * (time.perf_counter() - began)
    return [list(way) for way in zip(*taken, strict=True)], computed * 1000 / presses


def start(folder: Path) -> Line:
    """The program on a shop with its racks in hand, the key for the first of them unlocked, the board up."""
    shop, keys = write_shop(folder / "shop"), folder / "keys"
    works = Works(shop, keys, now=later(SystemClock().now(), -EARLIER_S)).hire()
    for _ in range(RACKS):
        works.follow_to(works.open(), "enter", times=2)
    works.floor.close()
    line = Line(folder)
    for key, words in (("", BOARD), ("1", "PIN"), (f"{PIN}\r", WALK), ("b", BOARD)):
        line.press(key)
        line.sees(words)
    empty(line.child.child_fd)
    return line


def main() -> None:
    """Measure, and print the table."""
    presses = int(sys.argv[1]) if sys.argv[1:] else PRESSES
    with tempfile.TemporaryDirectory() as name:
        line = start(Path(name))
        calm = idle(line)
        sys.stdout.write(
            f"board with {RACKS} racks, idle: {calm.bytes_s:6.0f} bytes/s (target {MOST_BYTES_S:.0f}), "
            f"{calm.cpu * 100:.1f} % of a core\n"
        )
        everything: list[float] = []
        for what, pair in PAIRS.items():
            if what == IN_THE_WALK:
                answer_ms(line, ("1", WALK))
            (there, back), cpu_ms = measured(line, pair, presses, calm)
            everything += there + back
            sys.stdout.write(
                f"{told(what, there)}\n{told('  and back', back)}; {cpu_ms:.0f} ms computed a key\n"
            )
            sys.stdout.flush()
        sys.stdout.write(f"{told(f'all {len(everything)} presses', everything)}\n")
        line.child.close(force=True)


if __name__ == "__main__":
    main()
