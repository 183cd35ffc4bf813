"""What time is it? The one place that asks the machine.

Owns the reading of its clocks. Handed only to screens and the command line, which hand moments on: nothing
else in this program may call it.
"""

from __future__ import annotations

import time
import uuid
from pathlib import Path

from runner.batch.moment import Moment

_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")
_NS_PER_MS = 1_000_000


class SystemClock:
    """The machine's wall clock and uptime.

    On Linux the boot has an identity, and uptime counts sleep (CLOCK_BOOTTIME). Where the system tells no
    identity, this run of the program counts as a boot of its own: durations across two runs then come from
    wall time, which is less exact but never wrongly taken for uptime.
    """

    def __init__(self, boot_id: Path = _BOOT_ID) -> None:
        self._clock = getattr(time, "CLOCK_BOOTTIME", None)
        try:
            self._boot = str(uuid.UUID(boot_id.read_text(encoding="ascii").strip()))
            self._start_ns = 0
        except (OSError, ValueError):
            self._boot = f"run-{uuid.uuid4()}"
            self._start_ns = self._uptime_ns()

    def _uptime_ns(self) -> int:
        return time.monotonic_ns() if self._clock is None else time.clock_gettime_ns(self._clock)

    def now(self) -> Moment:
        """The present moment."""
        return Moment(
            at_ms=time.time_ns() // _NS_PER_MS,
            boot=self._boot,
            up_ms=(self._uptime_ns() - self._start_ns) // _NS_PER_MS,
        )
