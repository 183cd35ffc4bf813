"""A signature that OpenSSH 9.2 accepted, byte for byte; its key is TEST 1 of RFC 8032, section 7.1.

The form is that of OpenSSH's PROTOCOL.sshsig, version 1.
"""

from __future__ import annotations

import subprocess
from typing import TYPE_CHECKING

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

from runner.record import sshsig

if TYPE_CHECKING:
    from pathlib import Path

KEY = Ed25519PrivateKey.from_private_bytes(
    bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
)
NAMESPACE = "plating-record@example.org"
MESSAGE = b"batch record test\n"
ARMOURED = """\
-----BEGIN SSH SIGNATURE-----
U1NIU0lHAAAAAQAAADMAAAALc3NoLWVkMjU1MTkAAAAg11qYAYKxCrfVS/7TyWQHOg7hcv
PapiMlrwIaaPcHURoAAAAacGxhdGluZy1yZWNvcmRAZXhhbXBsZS5vcmcAAAAAAAAABnNo
YTUxMgAAAFMAAAALc3NoLWVkMjU1MTkAAABAbFjUEQFeI4O+g5ZqM5E6pqov0cpoh0Bk0K
dAh3qmWYVCBH7e9CRK1T++0Aj99Al1gBPSWjrIAL7Hp5sIbZSPAA==
-----END SSH SIGNATURE-----
"""
PUBLIC_LINE = "ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAINdamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea"
FINGERPRINT = "SHA256:bbXpuKG6zhzdmnxq256TlqzFBzRl2f6OOg722cYNbU8"


def test_the_signature_is_made_byte_for_byte() -> None:
    """The same key, namespace and message give the armoured file that OpenSSH accepted."""
    assert sshsig.armour(sshsig.sign(KEY, NAMESPACE, MESSAGE)) == ARMOURED


def test_the_signature_is_accepted_and_names_its_key() -> None:
    """The file reads back, holds under its message, and gives the key of the vector."""
    blob = sshsig.unarmour(ARMOURED)
    assert len(blob) == 170 + len(NAMESPACE)
    public = sshsig.check(blob, NAMESPACE, MESSAGE)
    assert sshsig.public_line(public) == PUBLIC_LINE
    assert sshsig.fingerprint(public) == FINGERPRINT
    assert sshsig.read_public_line(f"{PUBLIC_LINE} op@example.org\n") == public


def test_ssh_keygen_writes_the_same_file(tmp_path: Path) -> None:
    """The stock tool, given the same key, writes the same bytes and prints the same fingerprint."""
    secret = tmp_path / "key"
    secret.write_bytes(KEY.private_bytes(Encoding.PEM, PrivateFormat.OpenSSH, NoEncryption()))
    secret.chmod(0o600)
    made = subprocess.run(
        ["ssh-keygen", "-Y", "sign", "-f", secret, "-n", NAMESPACE],
        input=MESSAGE,
        capture_output=True,
        check=True,
    )
    assert made.stdout.decode() == ARMOURED
    printed = subprocess.run(["ssh-keygen", "-l", "-f", secret], capture_output=True, check=True)
    assert FINGERPRINT in printed.stdout.decode()
