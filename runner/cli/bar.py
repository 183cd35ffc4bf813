"""A bar for long work, on standard error, where that is a terminal; nothing anywhere else."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from runner.record.progress import Told, untold


@contextmanager
def bar(what: str) -> Iterator[Told]:
    """Something to call as work goes on.

    Args:
        what: In a word or two of this program, such as ``reading journals``.
    """
    if not sys.stderr.isatty():
        yield untold
        return
    from rich.console import Console  # noqa: PLC0415  # loads only where somebody watches
    from rich.progress import Progress  # noqa: PLC0415  # as above

    with Progress(console=Console(stderr=True, markup=False), transient=True) as drawn:
        task = drawn.add_task(what, total=None)

        def told(done: int, of: int) -> None:
            drawn.update(task, completed=done, total=of)

        yield told
