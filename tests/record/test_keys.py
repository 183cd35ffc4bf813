"""Private keys are made private, lie where the user says, and open with their PIN only."""

from __future__ import annotations

import os
import subprocess
import time
from pathlib import Path

import pytest

from runner.faults import InputFault
from runner.record import key_file, sshsig
from runner.record.keys import FOLDER_VARIABLE, KeyMissing, Keys, UnlockedKey, WrongPin
from support.journals import FaultyDisk, key, moment
from support.locked_keys import PIN, WRONG, file_of


def test_a_key_opens_with_its_pin_and_signs(keys: Keys, made: UnlockedKey) -> None:
    """What is unlocked is the key that was made, and its signatures name it."""
    again = Keys(keys.folder).unlock(made.fingerprint, PIN, moment())
    assert (again.public, again.public_line) == (made.public, made.public_line)
    assert (
        sshsig.check(again.sign("batch-record@tankwalk", b"x"), "batch-record@tankwalk", b"x") == made.public
    )
    assert again.signer("journal-line@tankwalk").public == made.public
    assert keys.fingerprints() == [made.fingerprint]


def test_the_file_is_named_by_fingerprint_and_private(keys: Keys, made: UnlockedKey) -> None:
    """The name holds nothing that a file system refuses; nobody else may read file or folder."""
    file = file_of(keys)
    assert file.stem == made.fingerprint.replace(":", "-").replace("/", "_")
    assert file.stat().st_mode & 0o777 == 0o600
    assert keys.folder.stat().st_mode & 0o777 == 0o700


@pytest.mark.parametrize("mask", [0, 0o022, 0o077])
def test_the_user_s_mask_does_not_open_it(tmp_path: Path, mask: int) -> None:
    """However loose the mask of new files is, a key's file is private."""
    before = os.umask(mask)
    try:
        keys = Keys(tmp_path / "keys", rounds=1)
        keys.create(PIN)
    finally:
        os.umask(before)
    assert file_of(keys).stat().st_mode & 0o777 == 0o600
    assert keys.folder.stat().st_mode & 0o777 == 0o700


def test_the_stock_tool_opens_it(keys: Keys, made: UnlockedKey) -> None:
    """``ssh-keygen -y`` reads the file with the PIN, and refuses without."""
    for pin, status in ((PIN, 0), (WRONG, 255)):
        read = subprocess.run(
            ["ssh-keygen", "-y", "-P", pin, "-f", file_of(keys)], capture_output=True, check=False, text=True
        )
        assert read.returncode == status
        if not status:
            assert read.stdout.strip() == made.public_line


@pytest.mark.parametrize(
    "pin", ["", "12345", "1" * 65, "12345a", "１２３４５６", "123 456", "123456\n", "-12345"]
)
def test_a_bad_pin_makes_no_key(keys: Keys, pin: str) -> None:
    """Fewer than six digits, or anything but the digits 0 to 9, is refused with what to do."""
    with pytest.raises(InputFault, match=r"digits.*; choose"):
        keys.create(pin)
    assert not keys.folder.exists()


def test_a_wrong_pin_is_told(keys: Keys, made: UnlockedKey) -> None:
    """Another PIN, and text that could be none, do not open the key."""
    for pin in (WRONG, "", "ä"):
        keys.wait_s(made.fingerprint, moment())
        with pytest.raises(WrongPin, match="not the PIN"):
            keys.unlock(made.fingerprint, pin, moment())


def test_a_key_that_is_not_here_is_told(keys: Keys, made: UnlockedKey) -> None:
    """A key made on another machine is missing, not locked; so is what is no fingerprint."""
    with pytest.raises(KeyMissing, match="not on this machine"):
        keys.unlock(sshsig.fingerprint(bytes(32)), PIN, moment())
    for name in ("", "SHA256:x", "../../" + made.fingerprint, made.fingerprint + "\n"):
        with pytest.raises(KeyMissing, match="fingerprint"):
            keys.unlock(name, PIN, moment())


def test_a_full_disk_makes_no_key(tmp_path: Path) -> None:
    """A key that could not be written whole is not there at all."""
    disk = FaultyDisk()
    disk.room = 200
    keys = Keys(tmp_path / "keys", rounds=1, disk=disk)
    with pytest.raises(OSError, match="bytes went"):
        keys.create(PIN)
    assert list(keys.folder.iterdir()) == []


def test_no_key_is_overwritten(keys: Keys, monkeypatch: pytest.MonkeyPatch) -> None:
    """Should two keys have one name, the first stands."""
    monkeypatch.setattr("runner.record.keys.Ed25519PrivateKey.generate", key)
    first = keys.create(PIN)
    before = file_of(keys).read_bytes()
    with pytest.raises(FileExistsError):
        keys.create(WRONG)
    assert file_of(keys).read_bytes() == before
    keys.unlock(first.fingerprint, PIN, moment())


def test_keys_lie_where_the_user_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder given comes first, then the variable, then the user's data directory."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    assert Keys().folder.name == "keys"
    assert "tankwalk" in Keys().folder.parts
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "told"))
    assert Keys().folder == tmp_path / "told"
    assert Keys(tmp_path / "given").folder == tmp_path / "given"


def test_a_try_is_slow_on_purpose() -> None:
    """With the rounds that keys are made with a try costs a guesser far more than a check of a signature."""
    content = key_file.make(key(), PIN)
    text = key_file.inspect(content, sshsig.fingerprint(key().public_key().public_bytes_raw()))
    began = time.perf_counter()
    key_file.decrypt(text, PIN)
    assert time.perf_counter() - began > 0.05


def test_a_rehearsal_s_key_is_never_kept(keys: Keys) -> None:
    """A key in memory signs, is new each time, and leaves no file."""
    one, other = UnlockedKey.in_memory(), UnlockedKey.in_memory()
    assert one.public != other.public
    assert keys.fingerprints() == []
