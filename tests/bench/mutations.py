"""How many single faults does the check catch? Prints the table by kind; ``--missed`` names the others.

Run as ``python tests/bench/mutations.py [--missed] [--page] [--odd N]``; ``--page`` writes the page that is
kept in the tree, ``--odd`` tries so many odd routes too.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from support.fault_page import PAGE, ROOT, count, page


def main() -> None:
    """Count, and write."""
    options = argparse.ArgumentParser()
    options.add_argument("--missed", action="store_true")
    options.add_argument("--page", action="store_true")
    options.add_argument("--odd", type=int, default=0)
    chosen = options.parse_args()
    counts, missed = count()
    sys.stdout.write(page(counts))
    if chosen.page:
        (ROOT / PAGE).write_text(page(counts), encoding="utf-8")
    if chosen.missed:
        sys.stdout.write("\n".join(["", *missed, ""]))
    if chosen.odd:
        from support.odd_routes import try_odd  # noqa: PLC0415  # hypothesis is loaded only where it is asked for

        try_odd(chosen.odd)
        sys.stdout.write(f"\n{chosen.odd} odd routes: none crashed\n")


if __name__ == "__main__":
    main()
