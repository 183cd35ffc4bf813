"""The command ``tankwalk``, also as ``python -m runner``."""

from __future__ import annotations

import sys

from runner.cli.main import run


def main() -> None:
    """Run the command line and exit with its status."""
    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
