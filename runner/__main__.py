"""The command ``tankwalk``, also as ``python -m runner``."""

from __future__ import annotations

import io
import sys

from runner.cli.main import run


def main() -> None:
    """Run the command line and exit with its status."""
    for stream in (sys.stdout, sys.stderr):
        # A shop terminal may not know µ or ²: print their codes then, rather than fall over them.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
