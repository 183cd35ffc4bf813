"""A shop with batches of years that lie long back, and the owner who lets them go."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from runner.batch.moment import Moment, from_rfc3339
from runner.record.archive_delete import delete
from support.mill import Mill

BEGAN = Moment(from_rfc3339("2001-12-30T08:00:00.000Z"), "boot-1", 0)
BATCH = "2001-0001"
LATER = Moment(from_rfc3339("2012-06-01T00:00:00.000Z"), "boot-2", 0)
REASON = "kept ten years, as the customer asks"


@dataclass(frozen=True)
class Kept:
    """The shop.

    Attributes:
        folder: Its folder.
        mill: What made it; its people can sign.
    """

    folder: Path
    mill: Mill

    @property
    def logs(self) -> Path:
        """Where journals and records lie."""
        return self.folder / "logs"

    @property
    def owner(self) -> str:
        """Fingerprint of the owner's key."""
        return self.mill.owner


def gone(
    kept: Kept, batch: str = BATCH, who: str = "olive", now: Moment = LATER, years: int | None = 10
) -> Path:
    """Delete a batch; returns its archive."""
    return delete(kept.folder, batch, REASON, years, kept.mill.people[who], now)
