"""How long until the board can be used, against an app of one widget in the same run.

Run it: ``python tests/bench/board_start.py``. Each start is a process of its own; medians are printed.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

RUNS = 9
MOST_TIMES, MOST_IMPORT_MS = 2.3, 100.0

BARE = """
import time; began = time.perf_counter()
import asyncio
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        yield Static("one")
async def run():
    async with Bare().run_test() as pilot:
        await pilot._wait_for_screen()
        print(time.perf_counter() - began)
asyncio.run(run())
"""

BOARD = """
import time; began = time.perf_counter()
import asyncio, sys
from pathlib import Path
import textual.app, textual.widgets
library = time.perf_counter()
from runner.cli.app import run_app
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.moment import SystemClock
from runner.screens.app import TankwalkApp
imported = time.perf_counter()
async def run():
    app = TankwalkApp(Floor(Path(sys.argv[1]), Keys(Path(sys.argv[2]))), SystemClock().now)
    async with app.run_test() as pilot:
        await pilot._wait_for_screen()
        assert app.screen.query_one("#racks").render().plain.strip()
        print(time.perf_counter() - began, (imported - library) * 1000, "pydantic" in sys.modules)
asyncio.run(run())
"""


def started(code: str, *args: str) -> list[str]:
    """What one start prints."""
    done = subprocess.run(
        [sys.executable, "-c", code, *args], capture_output=True, text=True, check=True, env=dict(os.environ)
    )
    return done.stdout.split()


def say(line: str) -> None:
    """One line of the table."""
    sys.stdout.write(line + "\n")


def main() -> None:
    """Measure, and print the table."""
    from support.floors import Works, write_shop  # noqa: PLC0415  # on the path only now

    with tempfile.TemporaryDirectory() as folder:
        shop, keys = write_shop(Path(folder) / "shop"), Path(folder) / "keys"
        works = Works(shop, keys).hire()
        works.open()
        works.floor.close()
        started(BOARD, str(shop), str(keys))  # compiled files and caches warm
        bare, board, imports, validates = [], [], [], ""
        for _ in range(RUNS):
            bare.append(float(started(BARE)[0]) * 1000)
            whole, own, validates = started(BOARD, str(shop), str(keys))
            board.append(float(whole) * 1000)
            imports.append(float(own))
    one, ours, own_ms = (statistics.median(figures) for figures in (bare, board, imports))
    say(f"{'one widget, median of ' + str(RUNS):<44}{one:8.0f} ms")
    say(f"{'board with one open batch':<44}{ours:8.0f} ms   {ours / one:.2f} times (target {MOST_TIMES})")
    say(f"{'imports of our own in it':<44}{own_ms:8.0f} ms   (target {MOST_IMPORT_MS:.0f})")
    say(f"{'validation library loaded before the board':<44}{validates:>8}")


if __name__ == "__main__":
    main()
