"""Which records lie in a folder of logs?

Owns the quick list for people: it comes from the index and proves nothing. Rehearsals are not production and
are never in it.
"""

from __future__ import annotations

from pathlib import Path

from runner.record.index import search
from runner.record.index_query import Listed, Wanted
from runner.record.progress import Told, untold


def listed(logs: Path, told: Told = untold) -> tuple[Listed, ...]:
    """Every batch that ended, the newest name first; one that cannot be read says so.

    Raises:
        OSError: The folder itself cannot be read.
    """
    return tuple(one for one in search(logs, Wanted(), told).batches if one.status != "open")
