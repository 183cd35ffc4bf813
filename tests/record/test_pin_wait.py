"""Wrong PINs make the next one wait, across restarts, whatever the clock is set to."""

from __future__ import annotations

import errno

import pytest

from runner.batch.moment import Moment
from runner.record import key_file, pin_wait
from runner.record.keys import Keys, MustWait, UnlockedKey, WrongPin
from support.journals import moment
from support.locked_keys import PIN, WRONG


def fail(keys: Keys, fingerprint: str, now: Moment) -> float:
    """One wrong PIN; the wait that follows."""
    with pytest.raises(WrongPin) as wrong:
        keys.unlock(fingerprint, WRONG, now)
    assert wrong.value.wait_s == keys.wait_s(fingerprint, now)
    return wrong.value.wait_s


def test_the_wait_doubles_from_the_third(keys: Keys, made: UnlockedKey) -> None:
    """Two mistypings are free; then 1 s, 2 s, 4 s and so on, 5 min at most."""
    second = 0.0
    waits = []
    for _ in range(14):
        waits.append(fail(keys, made.fingerprint, moment(second)))
        second += waits[-1]
    assert waits == [0, 0, 1, 2, 4, 8, 16, 32, 64, 128, 256, 300, 300, 300]


def test_the_right_pin_waits_too_and_then_clears(keys: Keys, made: UnlockedKey) -> None:
    """While it lasts no PIN is tried; after it the right one opens and the count begins again."""
    for _ in range(3):
        fail(keys, made.fingerprint, moment(10))
    with pytest.raises(MustWait, match="wait 1 s") as refused:
        keys.unlock(made.fingerprint, PIN, moment(10.25))
    assert refused.value.wait_s == 0.75
    keys.unlock(made.fingerprint, PIN, moment(11))
    assert fail(keys, made.fingerprint, moment(12)) == 0


def test_it_outlasts_a_restart_of_the_program(keys: Keys, made: UnlockedKey) -> None:
    """Another run of the program knows the count."""
    for _ in range(3):
        fail(keys, made.fingerprint, moment(10))
    assert Keys(keys.folder).wait_s(made.fingerprint, moment(10)) == 1


def locked(keys: Keys, made: UnlockedKey) -> None:
    """A key that is to wait 300 s, from second 1000 on."""
    count = keys.folder / (made.fingerprint.replace(":", "-").replace("/", "_") + ".wrong")
    pin_wait.add(count, pin_wait.WrongPins(20), moment(1000))


@pytest.mark.parametrize("wall_s", [-(10**9), -3600, 0, 3600, 10**9])
def test_setting_the_clock_changes_nothing(keys: Keys, made: UnlockedKey, wall_s: int) -> None:
    """Set back it does not lock out for longer, set on it does not free: uptime counts."""
    locked(keys, made)
    now = moment(1100)
    shifted = Moment(now.at_ms + wall_s * 1000, now.boot, now.up_ms)
    assert keys.wait_s(made.fingerprint, shifted) == 200


@pytest.mark.parametrize("wall_s", [-(10**9), 0, 10**9])
def test_a_restart_of_the_machine_begins_the_wait_again(keys: Keys, made: UnlockedKey, wall_s: int) -> None:
    """In another boot the wait counts from its start, so it ends, and a restart gains nothing."""
    locked(keys, made)
    at_ms = moment(1100).at_ms + wall_s * 1000
    assert keys.wait_s(made.fingerprint, Moment(at_ms, "boot-2", 20_000)) == 280
    assert keys.wait_s(made.fingerprint, Moment(at_ms, "boot-2", 300_000)) == 0


@pytest.mark.parametrize("content", [b"", b"{}", b"[]", b"\xff", b"0", b'{"count": null}', bytes(2000)])
def test_a_damaged_count_frees_nobody(keys: Keys, made: UnlockedKey, content: bytes) -> None:
    """A count that cannot be read is the longest wait, from the machine's start."""
    locked(keys, made)
    (count,) = keys.folder.glob("*.wrong")
    count.write_bytes(content)
    assert keys.wait_s(made.fingerprint, Moment(0, "boot-1", 1000)) == 299
    assert keys.wait_s(made.fingerprint, Moment(0, "boot-1", 300_000)) == 0


def test_a_full_disk_keeps_nobody_from_their_key(
    keys: Keys, made: UnlockedKey, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the count cannot be written the right PIN opens all the same."""

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("runner.record.durable.write_over", full)
    keys.unlock(made.fingerprint, PIN, moment())


def test_a_try_broken_off_counts(keys: Keys, made: UnlockedKey, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopping the program before it says no does not save the try."""

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(key_file, "decrypt", stopped)
    for _ in range(3):
        with pytest.raises(KeyboardInterrupt):
            keys.unlock(made.fingerprint, WRONG, moment(5))
    assert keys.wait_s(made.fingerprint, moment(5)) == 1
