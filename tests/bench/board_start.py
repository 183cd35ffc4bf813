"""How long until the board can be used, against an app of one widget in the same run.

Run it: ``python tests/bench/board_start.py``. Each start is a process of its own; medians are printed. All
start from compiled files, as an installed program does, whatever the machine says about writing them. Our
own imports are told apart by importing every library module first that the board comes to load.
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
from runner.cli.app import run_app
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.moment import SystemClock
from runner.screens.app import TankwalkApp
async def run():
    app = TankwalkApp(Floor(Path(sys.argv[1]), Keys(Path(sys.argv[2]))), SystemClock().now)
    async with app.run_test() as pilot:
        await pilot._wait_for_screen()
        assert app.screen.query_one("#racks").render().plain.strip()
        print(time.perf_counter() - began, "pydantic" in sys.modules)
asyncio.run(run())
"""

IMPORTS = """
import runner.cli.app, runner.record.floor, runner.record.keys, runner.record.moment, runner.screens.app
"""

OTHERS = f"""
import sys, textual.widgets
{IMPORTS}
print(*(name for name in sys.modules if name.partition(".")[0] not in ("runner", "__main__")))
"""

OURS = f"""
import contextlib, importlib, sys, textual.widgets, time
for name in sys.argv[1:]:
    with contextlib.suppress(ImportError):  # a few are made by another module and have no file
        importlib.import_module(name)
began = time.perf_counter()
{IMPORTS}
print((time.perf_counter() - began) * 1000)
"""


def started(code: str, *args: str, compiled: Path) -> list[str]:
    """What one start prints."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    env["PYTHONPYCACHEPREFIX"] = str(compiled)
    command = [sys.executable, "-c", code, *args]
    return subprocess.run(command, capture_output=True, text=True, check=True, env=env).stdout.split()


def main() -> None:
    """Measure, and print the table."""
    from support.floors import Works, write_shop  # noqa: PLC0415  # on the path only now

    with tempfile.TemporaryDirectory() as folder:
        shop, keys = write_shop(Path(folder) / "shop"), Path(folder) / "keys"
        works = Works(shop, keys).hire()
        works.open()
        works.floor.close()
        compiled = Path(folder) / "compiled"
        started(BOARD, str(shop), str(keys), compiled=compiled)  # compiled files and caches warm
        others = started(OTHERS, compiled=compiled)
        bare, board, imports, validates = [], [], [], ""
        for _ in range(RUNS):
            bare.append(float(started(BARE, compiled=compiled)[0]) * 1000)
            whole, validates = started(BOARD, str(shop), str(keys), compiled=compiled)
            board.append(float(whole) * 1000)
            imports.append(float(started(OURS, *others, compiled=compiled)[0]))
    one, ours, own_ms = statistics.median(bare), statistics.median(board), statistics.median(imports)
    print(f"{'one widget, median of ' + str(RUNS):<44}{one:8.0f} ms")
    print(f"{'board with one open batch':<44}{ours:8.0f} ms   {ours / one:.2f} times (target {MOST_TIMES})")
    print(f"{'imports of our own in it':<44}{own_ms:8.0f} ms   (target {MOST_IMPORT_MS:.0f})")
    print(f"{'validation library loaded before the board':<44}{validates:>8}")


if __name__ == "__main__":
    main()
