"""How long do commands without a screen take, against a one-option Typer app run to its end?

Run: ``python tests/bench/command_start.py [ROUNDS]``. Each round runs the twin and every command once, in
turn; the medians of their processor times are compared, so that whatever else the machine does falls on all.
All start from compiled files, as an installed program does, whatever the machine says about writing them.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median

TWIN = """
import typer
app = typer.Typer()
@app.command()
def main(name: str = "x") -> None:
    print(name)
app()
"""


def cpu_s(command: list[str], compiled: Path) -> float:
    """Processor time of one run."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, capture_output=True, env=env | {"PYTHONPYCACHEPREFIX": str(compiled)})
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    """Print the table."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    program = [sys.executable, "-m", "runner"]
    with tempfile.TemporaryDirectory() as scratch:
        twin = Path(scratch) / "twin.py"
        twin.write_text(TWIN, encoding="utf-8")
        shop = Path(scratch) / "shop"
        subprocess.run([*program, "init", str(shop)], check=True, capture_output=True)
        route = str(shop / "procedures" / "pole-sleeves.toml")
        load = ["--area", "3 dm2", "--pieces", "4"]
        subprocess.run([*program, "rehearse", route, *load], check=True, capture_output=True)
        batch = str(next((shop / "logs" / "practice").iterdir()))
        commands = {
            "twin": [sys.executable, str(twin)],
            "--version": [*program, "--version"],
            "plan": [*program, "plan", route, *load, "--json"],
            "verify": [*program, "verify", batch],
        }
        times: dict[str, list[float]] = {name: [] for name in commands}
        for command in commands.values():
            cpu_s(command, Path(scratch) / "compiled")
        for _ in range(rounds):
            for name, command in commands.items():
                times[name].append(cpu_s(command, Path(scratch) / "compiled"))
    base = median(times["twin"])
    for name, taken in times.items():
        sys.stdout.write(f"{name:<10} {median(taken) * 1000:6.0f} ms  {median(taken) / base:.2f} x\n")


if __name__ == "__main__":
    main()
