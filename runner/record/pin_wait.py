"""How long must somebody wait after wrong PINs?

Owns the count of wrong PINs beside a key and the wait that follows from it. Must not see a PIN.

The wait goes by uptime, which setting the clock does not touch. In another boot at least as long has passed
as that boot is up, so a restart neither frees at once nor locks out: it begins the wait again.
"""

from __future__ import annotations

import contextlib
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from runner.batch.moment import Moment, from_rfc3339, rfc3339, same_boot
from runner.record import durable

if TYPE_CHECKING:
    from pathlib import Path

FREE_TRIES = 3
"""Wrong PINs before the first wait: gloves and worn keys mistype."""

FIRST_WAIT_S = 1
LONGEST_WAIT_S = 300

_LONGEST_FILE = 1024


@dataclass(frozen=True, slots=True)
class WrongPins:
    """Wrong PINs since the last right one.

    Attributes:
        count: How many.
        last: When the last was tried, or None where the count could not be read.
    """

    count: int = 0
    last: Moment | None = None

    def wait_s(self, now: Moment) -> float:
        """Seconds to wait until the next try: none at first, then doubling up to `LONGEST_WAIT_S`."""
        beyond = self.count - FREE_TRIES
        if beyond < 0:
            return 0
        wait_s: float = min(FIRST_WAIT_S * 2 ** min(beyond, 32), LONGEST_WAIT_S)
        if self.last is not None and same_boot(self.last, now):
            passed_ms = max(0, now.up_ms - self.last.up_ms)
        else:
            passed_ms = now.up_ms
        return max(0, wait_s - passed_ms / 1000)


def read(path: Path) -> WrongPins:
    """The count beside a key. One that cannot be read counts as many, so that damaging it gains nothing."""
    try:
        kept = json.loads(durable.read_whole(path, _LONGEST_FILE))
        last = Moment(from_rfc3339(kept["at"]), str(kept["boot"]), int(kept["up_ms"]))
        return WrongPins(int(kept["count"]), last)
    except FileNotFoundError:
        return WrongPins()
    except (OSError, ValueError, KeyError, TypeError):
        return WrongPins(count=FREE_TRIES + 32)


def add(path: Path, before: WrongPins, now: Moment) -> WrongPins:
    """Count one more, on the disk.

    Where that cannot be written the try goes on: nobody is kept from their key by a full disk while a rack
    hangs in the acid.
    """
    after = WrongPins(before.count + 1, now)
    kept = {"count": after.count, "at": rfc3339(now.at_ms), "boot": now.boot, "up_ms": now.up_ms}
    with contextlib.suppress(OSError):
        durable.write_over(path, json.dumps(kept).encode("ascii") + b"\n", mode=0o600)
    return after


def clear(path: Path) -> None:
    """Begin the count again after a right PIN."""
    with contextlib.suppress(OSError):
        path.unlink(missing_ok=True)
