"""How many single faults does the check catch? Writes the table by kind; ``--missed`` names the others.

Run as ``python tests/bench/mutations.py [--missed] [--odd N]``; ``--odd`` tries so many odd routes too.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter, defaultdict
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from runner.plating.severity import Severity
from runner.procedure.reading import load_procedure
from runner.procedure.rules.check import check_among, followed
from runner.shop.finding import procedure_files
from runner.shop.reading import load_shop
from support.faulty_routes import faults

ROOT = Path(__file__).resolve().parents[2]
KINDS = (*Severity, None, "format")


def main() -> None:
    """Count, and write."""
    options = argparse.ArgumentParser()
    options.add_argument("--missed", action="store_true")
    options.add_argument("--odd", type=int, default=0)
    chosen = options.parse_args()
    shop = load_shop(ROOT)
    files = procedure_files(ROOT)
    routes = {file: load_procedure(file, shop) for file in files}
    counts: dict[str, Counter[object]] = defaultdict(Counter)
    missed: list[str] = []
    for file, sound in routes.items():
        if "\ninclude" in sound.source.text:
            continue  # its parts are read from their folder, not from this text; they stand in other routes
        others = followed((route for other, route in routes.items() if other != file), shop)
        before = {(f.rule, f.severity) for f in check_among(sound, shop, others)}
        for fault in faults(sound.source.text, shop):
            if fault.procedure is None:
                counts[fault.kind]["format"] += 1
                continue
            found = check_among(fault.procedure, shop, others)
            new = [f for f in found if (f.rule, f.severity) not in before]
            counts[fault.kind][new[0].severity if new else None] += 1
            if not new:
                missed.append(f"{fault.kind:26} {file.stem:15} step {fault.step:2} {fault.what}")
    _write(counts)
    if chosen.missed:
        sys.stdout.write("\n".join(["", *sorted(missed), ""]))
    if chosen.odd:
        from support.odd_routes import try_odd  # noqa: PLC0415  # hypothesis is loaded only where it is asked for

        try_odd(chosen.odd)
        sys.stdout.write(f"\n{chosen.odd} odd routes: none crashed\n")


def _write(counts: dict[str, Counter[object]]) -> None:
    heads = ("danger", "spoil", "doubt", "advice", "missed", "format")
    sys.stdout.write(f"{'fault':28}{'all':>6}" + "".join(f"{head:>8}" for head in heads) + "  caught\n")
    total: Counter[object] = Counter()
    for kind, found in [*sorted(counts.items()), ("all", total)]:
        total.update(found if kind != "all" else {})
        read = sum(found.values()) - found["format"]
        caught = f"{(read - found[None]) / read:7.0%}" if read else "      -"
        cells = "".join(f"{found[key]:>8}" for key in KINDS)
        sys.stdout.write(f"{kind:28}{sum(found.values()):>6}{cells} {caught}\n")


if __name__ == "__main__":
    main()
