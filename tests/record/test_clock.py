"""The clocks of this machine."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

import pytest

from runner.batch.moment import elapsed_s, same_boot
from runner.record.moment import SystemClock

if TYPE_CHECKING:
    from pathlib import Path


def test_two_clocks_on_one_machine_share_a_boot() -> None:
    """A restart of the program within one boot goes on counting the same uptime."""
    first, second = SystemClock().now(), SystemClock().now()
    assert same_boot(first, second)
    assert 0 <= elapsed_s(first, second) < 60


def test_wall_time_is_the_system_s() -> None:
    """The wall time read is the system's, in milliseconds since 1970."""
    assert SystemClock().now().at_ms == pytest.approx(time.time() * 1000, abs=60_000)


@pytest.mark.parametrize("content", [None, "", "no uuid\n"])
def test_without_a_boot_identity_each_run_is_its_own(tmp_path: Path, content: str | None) -> None:
    """Where the system tells no identity, uptimes of two runs are never compared."""
    source = tmp_path / "boot_id"
    if content is not None:
        source.write_text(content)
    first, second = SystemClock(source).now(), SystemClock(source).now()
    assert not same_boot(first, second)
    assert 0 <= second.up_ms < 60_000


def test_a_machine_without_a_sleep_counting_clock_still_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where CLOCK_BOOTTIME is missing the monotonic clock serves."""
    monkeypatch.delattr(time, "CLOCK_BOOTTIME")
    clock = SystemClock()
    assert clock.now().up_ms <= clock.now().up_ms
