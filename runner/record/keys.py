"""Whose key is unlocked, and with which PIN?

Owns the private keys in a person's data directory. Must not know which person a key belongs to: the shop's
journal says that.

A PIN guards against a colleague at the same terminal, not against somebody who copies the file. Six digits
are a million tries; at 0.4 s each on one processor a copied file is open within days. Whoever can copy the
file must be kept out by the machine's own accounts, and a copied key is taken out of service by the owner.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from platformdirs import user_data_path

from runner.faults import Fault, fault
from runner.record import durable, key_file, pin_wait, sshsig
from runner.record.sshsig import Signer

if TYPE_CHECKING:
    from runner.batch.moment import Moment
    from runner.record.durable import Disk

SHORTEST_PIN = 6
LONGEST_PIN = 64
FOLDER_VARIABLE = "TANKWALK_KEYS"

_PIN = re.compile(r"[0-9]*")
_FINGERPRINT = re.compile(r"SHA256:[A-Za-z0-9+/]{43}")
_SUFFIX = ".key"


class KeyProblem(Exception):
    """A key cannot be unlocked.

    Attributes:
        fault: What is wrong, and what to do.
    """

    def __init__(self, message: str, remedy: str, file: Path | None = None) -> None:
        self.fault = Fault(message, remedy, None if file is None else str(file))
        super().__init__(str(self.fault))


class KeyMissing(KeyProblem):
    """No key of that fingerprint lies on this machine."""


class KeyDamaged(KeyProblem):
    """The key's file is not what was written; no PIN can open it."""


class WrongPin(KeyProblem):
    """The file is sound, and the PIN is another.

    Attributes:
        wait_s: Seconds to wait before the next try, 0 for the first few.
    """

    def __init__(self, wait_s: float) -> None:
        then = f"wait {wait_s:.0f} s, then try again" if wait_s else "try again"
        super().__init__("that is not the PIN of this key", then)
        self.wait_s = wait_s


class MustWait(KeyProblem):
    """Too many wrong PINs: this one was not tried.

    Attributes:
        wait_s: Seconds still to wait.
    """

    def __init__(self, wait_s: float) -> None:
        super().__init__(
            "too many wrong PINs; this one was not tried", f"wait {wait_s:.0f} s, then try again"
        )
        self.wait_s = wait_s


class UnlockedKey:
    """A private key in memory.

    Attributes:
        public: The 32 bytes of its public key.
        fingerprint: ``SHA256:…``.
        public_line: ``ssh-ed25519 AAAA…``.
    """

    def __init__(self, key: Ed25519PrivateKey) -> None:
        self._key = key
        self.public = key.public_key().public_bytes_raw()
        self.fingerprint = sshsig.fingerprint(self.public)
        self.public_line = sshsig.public_line(self.public)

    @classmethod
    def in_memory(cls) -> UnlockedKey:
        """A new key that is never kept, for a rehearsal."""
        return cls(Ed25519PrivateKey.generate())

    def signer(self, namespace: str) -> Signer:
        """The key bound to a namespace, for a journal."""
        return Signer(self._key, namespace)

    def sign(self, namespace: str, message: bytes) -> bytes:
        """The SSHSIG blob of a message, for a record."""
        return sshsig.sign(self._key, namespace, message)


class Keys:
    """The private keys in one folder.

    Attributes:
        folder: Where they lie; made with the first key.
    """

    def __init__(
        self, folder: Path | None = None, *, rounds: int = key_file.KDF_ROUNDS, disk: Disk = durable.REAL
    ) -> None:
        """Args say the folder (see `key_folder`), the rounds of key derivation, and the disk."""
        self.folder = key_folder(folder)
        self._rounds = rounds
        self._disk = disk

    def create(self, pin: str) -> UnlockedKey:
        """Make a key under a PIN and keep it.

        Raises:
            InputFault: The PIN is too short, or not of digits only.
            OSError: The file could not be written; no key was made.
        """
        check_pin(pin)
        key = Ed25519PrivateKey.generate()
        unlocked = UnlockedKey(key)
        self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self.folder.chmod(0o700)
        content = key_file.make(key, pin, self._rounds)
        durable.write_new(self._file(unlocked.fingerprint), content, self._disk, mode=0o600)
        return unlocked

    def unlock(self, fingerprint: str, pin: str, now: Moment) -> UnlockedKey:
        """Open a key with its PIN. Slow on purpose, and slower after wrong PINs.

        A try is counted before it is made, so that breaking it off does not save it.

        Raises:
            KeyMissing: No such key here.
            KeyDamaged: Its file is not what was written; told before the PIN is tried.
            MustWait: Too many wrong PINs just now; the PIN was not tried.
            WrongPin: The PIN is another.
        """
        file = self._file(fingerprint)
        text = self._inspected(file, fingerprint)
        before = pin_wait.read(self._count(fingerprint))
        if wait_s := before.wait_s(now):
            raise MustWait(wait_s)
        after = pin_wait.add(self._count(fingerprint), before, now)
        if not _fits(pin):
            raise WrongPin(after.wait_s(now))
        try:
            key = key_file.decrypt(text, pin)
        except key_file.DoesNotOpen as error:
            raise WrongPin(after.wait_s(now)) from error
        except key_file.Damaged as error:
            raise _damaged(file, error) from error
        pin_wait.clear(self._count(fingerprint))
        return UnlockedKey(key)

    def wrong_pins(self, fingerprint: str) -> int:
        """How many wrong PINs were typed since the last right one."""
        return pin_wait.read(self._count(fingerprint)).count

    def wait_s(self, fingerprint: str, now: Moment) -> float:
        """Seconds until a PIN may be tried again; 0 where one may be tried now."""
        return pin_wait.read(self._count(fingerprint)).wait_s(now)

    def fingerprints(self) -> list[str]:
        """Of every key that lies here, sorted."""
        names = (path.name.removesuffix(_SUFFIX) for path in self.folder.glob(f"SHA256-*{_SUFFIX}"))
        found = (name.replace("-", ":", 1).replace("_", "/") for name in names)
        return sorted(name for name in found if _FINGERPRINT.fullmatch(name))

    def _file(self, fingerprint: str) -> Path:
        """``SHA256-….key``: the fingerprint with what file systems refuse replaced."""
        if not _FINGERPRINT.fullmatch(fingerprint):
            raise KeyMissing("that is no fingerprint of the form SHA256:…", "give the key's fingerprint")
        return self.folder / (fingerprint.replace(":", "-").replace("/", "_") + _SUFFIX)

    def _count(self, fingerprint: str) -> Path:
        return self._file(fingerprint).with_suffix(".wrong")

    def _inspected(self, file: Path, fingerprint: str) -> bytes:
        try:
            return key_file.inspect(durable.read_whole(file, key_file.LONGEST_FILE, self._disk), fingerprint)
        except FileNotFoundError as error:
            raise KeyMissing(
                f"the key {fingerprint} is not on this machine",
                "sign on where it was made, or have the owner add a new key for you",
                file,
            ) from error
        except (OSError, key_file.Damaged) as error:
            raise _damaged(file, error) from error


def key_folder(folder: Path | None = None) -> Path:
    """Where keys lie: the folder given, else ``TANKWALK_KEYS``, else the user's data directory."""
    if folder is not None:
        return folder
    told = os.environ.get(FOLDER_VARIABLE)
    return Path(told) if told else user_data_path("tankwalk", appauthor=False) / "keys"


def check_pin(pin: str) -> None:
    """Refuse a new PIN that is too short, too long, or not of digits only.

    Raises:
        InputFault: With what to do.
    """
    if not _PIN.fullmatch(pin):
        raise fault("a PIN is digits only", f"choose {SHORTEST_PIN} digits or more, 0 to 9")
    if not _fits(pin):
        raise fault(
            f"a PIN has {SHORTEST_PIN} to {LONGEST_PIN} digits, not {len(pin)}",
            f"choose {SHORTEST_PIN} digits or more, not a date or a run",
        )


def _fits(pin: str) -> bool:
    return bool(_PIN.fullmatch(pin)) and SHORTEST_PIN <= len(pin) <= LONGEST_PIN


def _damaged(file: Path, error: Exception) -> KeyDamaged:
    return KeyDamaged(
        f"the key's file is damaged: {error}",
        "put back a copy from your backup, or have the owner add a new key for you",
        file,
    )
