"""Which signatures stand, in our reading and in that of the stock tool."""

from __future__ import annotations

import base64
import hashlib
import struct
import subprocess
from typing import TYPE_CHECKING

import pytest
from cryptography.hazmat.primitives.asymmetric.ec import SECP256R1, generate_private_key
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from hypothesis import given
from hypothesis import strategies as st

from runner.record import sshsig
from support.journals import key, public, signer

if TYPE_CHECKING:
    from pathlib import Path

RECORD = "batch-record@tankwalk"
MESSAGE = b"a record\n"
BLOB = sshsig.sign(key(), RECORD, MESSAGE)
ARMOURED = sshsig.armour(BLOB)


def string(data: bytes) -> bytes:
    """RFC 4251, section 5."""
    return struct.pack(">I", len(data)) + data


def built(**changed: bytes) -> bytes:
    """A blob put together field by field after OpenSSH's PROTOCOL.sshsig, signed over what it says."""
    part = {
        "magic": b"SSHSIG",
        "version": struct.pack(">I", 1),
        "key_type": b"ssh-ed25519",
        "key": public(),
        "namespace": RECORD.encode(),
        "reserved": b"",
        "hash": b"sha512",
        "tail": b"",
    } | changed
    digest = hashlib.new(part["hash"].decode(), MESSAGE).digest()
    to_sign = b"SSHSIG" + b"".join(map(string, (part["namespace"], part["reserved"], part["hash"], digest)))
    signature = changed.get("signature", key().sign(to_sign))
    fields = (
        string(part["key_type"]) + string(part["key"]),
        part["namespace"],
        part["reserved"],
        part["hash"],
        string(b"ssh-ed25519") + string(signature),
    )
    return part["magic"] + part["version"] + b"".join(map(string, fields)) + part["tail"]


def test_the_form_is_the_published_one() -> None:
    """Our blob is byte for byte what the published layout gives."""
    assert built() == BLOB
    assert len(BLOB) == 170 + len(RECORD)
    assert sshsig.check(BLOB, RECORD, MESSAGE) == public()


S_LIMIT = 2**252 + 27742317777372353535851937790883648493  # RFC 8032, section 5.1: the order L
FORGED = {
    "another magic": (built(magic=b"SSHSIF"), "SSHSIG"),
    "version 2": (built(version=struct.pack(">I", 2)), "version"),
    "version 0": (built(version=struct.pack(">I", 0)), "version"),
    "reserved not empty": (built(reserved=b"x"), "reserved"),
    "sha256": (built(hash=b"sha256"), "sha512"),
    "another namespace": (built(namespace=b"journal-line@tankwalk"), "namespace"),
    "an empty namespace": (built(namespace=b""), "namespace"),
    "another kind of key": (built(key_type=b"ssh-ed25518"), "Ed25519 key"),
    "a key too short": (built(key=public()[:-1]), "Ed25519 key"),
    "a key too long": (built(key=public() + b"\0"), "Ed25519 key"),
    "a signature too short": (built(signature=bytes(63)), "Ed25519 signature"),
    "a signature too long": (built(signature=bytes(65)), "Ed25519 signature"),
    "a byte more": (built(tail=b"\0"), "after its end"),
    "a signature more": (BLOB + BLOB, "after its end"),
    "cut short": (BLOB[:-1], "cut short"),
    "cut to its magic": (b"SSHSIG", "version"),
    "nothing": (b"", "SSHSIG"),
    "another key than signed": (built(key=public(2)), "does not fit"),
    "a signature of nothing": (built(signature=bytes(64)), "does not fit"),
    "S counted once round": (
        BLOB[:-32] + (int.from_bytes(BLOB[-32:], "little") + S_LIMIT).to_bytes(32, "little"),
        "does not fit",
    ),
    "a key of small order": (built(key=b"\1" + bytes(31), signature=b"\1" + bytes(63)), "small order"),
    "its other sign": (
        built(key=b"\1" + bytes(30) + b"\x80", signature=bytes(64)),
        "small order",
    ),
}


@pytest.mark.parametrize("name", FORGED)
def test_every_other_form_is_refused_with_its_reason(name: str) -> None:
    """A blob that differs from the one form in one thing is refused, and the reason names the thing."""
    blob, reason = FORGED[name]
    with pytest.raises(sshsig.SignatureFault, match=reason):
        sshsig.check(blob, RECORD, MESSAGE)


@given(st.integers(0, len(BLOB) * 8 - 1))
def test_no_bit_of_a_signature_may_flip(bit: int) -> None:
    """A blob with any one bit changed does not stand."""
    changed = bytearray(BLOB)
    changed[bit // 8] ^= 1 << bit % 8
    with pytest.raises(sshsig.SignatureFault):
        sshsig.check(bytes(changed), RECORD, MESSAGE)


@given(st.binary(max_size=300))
def test_no_bytes_do_more_than_be_refused(blob: bytes) -> None:
    """Any bytes in place of a blob are refused with a reason, and nothing else is raised."""
    with pytest.raises(sshsig.SignatureFault, match=r".+"):
        sshsig.check(b"SSHSIG\0\0\0\1" + blob, RECORD, MESSAGE)


@pytest.mark.parametrize(("namespace", "message"), [(RECORD, b"another"), ("journal-line@tankwalk", MESSAGE)])
def test_a_signature_fits_its_message_and_purpose_only(namespace: str, message: bytes) -> None:
    """The signature of a record does not serve for another record, nor for a line of a journal."""
    with pytest.raises(sshsig.SignatureFault):
        sshsig.check(BLOB, namespace, message)


@pytest.mark.parametrize("namespace", ["", "with blank", "with\nnewline", "umläut", "x" * 101])
def test_a_namespace_is_never_empty_or_odd(namespace: str) -> None:
    """PROTOCOL.sshsig forbids an empty namespace; blanks and controls would blur what is signed."""
    with pytest.raises(ValueError, match="namespace"):
        sshsig.sign(key(), namespace, MESSAGE)


def test_a_signer_signs_as_the_key_does() -> None:
    """The signer handed to a journal gives the same blob, in base64."""
    assert sshsig.decode64(signer(1, RECORD).sign(MESSAGE)) == BLOB


@given(st.binary(max_size=400))
def test_armour_reads_back(blob: bytes) -> None:
    """Armouring loses nothing, keeps within 70 columns and ends in a newline."""
    text = sshsig.armour(blob)
    assert sshsig.unarmour(text) == blob
    assert text.endswith("\n")
    assert max(map(len, text.splitlines())) <= 70


@pytest.mark.parametrize(
    "text",
    {
        "text before": "x\n" + ARMOURED,
        "text after": ARMOURED + "x\n",
        "a newline more": ARMOURED + "\n",
        "no last newline": ARMOURED[:-1],
        "returns": ARMOURED.replace("\n", "\r\n"),
        "a blank in it": ARMOURED.replace("\nU1NI", "\n U1NI"),
        "76 columns": "-----BEGIN SSH SIGNATURE-----\n"
        + base64.encodebytes(BLOB).decode()
        + "-----END SSH SIGNATURE-----\n",
        "one line": "-----BEGIN SSH SIGNATURE-----\n"
        + base64.b64encode(BLOB).decode()
        + "\n-----END SSH SIGNATURE-----\n",
        "no padding": ARMOURED.replace("=", ""),
        "twice": ARMOURED + ARMOURED,
        "another label": ARMOURED.replace("SSH SIGNATURE", "PGP SIGNATURE"),
        "not base64": ARMOURED.replace("U1NI", "U1N*"),
        "empty": "",
    }.values(),
)
def test_a_file_laid_out_otherwise_is_refused(text: str) -> None:
    """Only the bytes that ssh-keygen itself would write are a signature file; it accepts some of these."""
    with pytest.raises(sshsig.SignatureFault):
        sshsig.unarmour(text)


@pytest.mark.parametrize("text", ["QQ", "QQ==\n", "QR==", "QQ=", "Q Q==", "QUE*", "QQ==QQ=="])
def test_bytes_have_one_spelling_in_base64(text: str) -> None:
    """Missing padding, stray bits under the padding, blanks and other letters are refused."""
    assert sshsig.decode64("QQ==") == b"A"
    with pytest.raises(sshsig.SignatureFault):
        sshsig.decode64(text)


def test_public_keys_read_back_with_or_without_a_comment() -> None:
    """The one-line form of a key gives the key again."""
    line = sshsig.public_line(public())
    assert sshsig.read_public_line(line) == public()
    assert sshsig.read_public_line(line + " somebody at the bench\n") == public()


def other_kind() -> str:
    """A key of another kind, as the general library writes it."""
    found = generate_private_key(SECP256R1()).public_key()
    return found.public_bytes(Encoding.OpenSSH, PublicFormat.OpenSSH).decode()


@pytest.mark.parametrize(
    "text",
    [
        "",
        "ssh-ed25519",
        sshsig.public_line(public()).split()[1],
        sshsig.public_line(public())[:-1],
        sshsig.public_line(public()) + "=",
        other_kind(),
        other_kind().replace("ecdsa-sha2-nistp256", "ssh-ed25519"),
        "ssh-ed25519 " + base64.b64encode(string(b"ssh-ed25519") + string(bytes(31))).decode(),
        "ssh-ed25519 " + base64.b64encode(string(b"ssh-ed25519") + string(public()) + b"\0").decode(),
        sshsig.public_line(b"\1" + bytes(31)),
        sshsig.public_line(b"\1" + bytes(30) + b"\x80"),
    ],
)
def test_what_is_no_sound_ed25519_key_is_refused(text: str) -> None:
    """Other kinds, cut and lengthened keys, and keys under which anybody could sign are refused."""
    with pytest.raises(sshsig.PublicKeyFault, match="key"):
        sshsig.read_public_line(text)


class TestStockTool:
    """What ``ssh-keygen -Y verify`` says on a machine without this program."""

    @pytest.fixture
    def folder(self, tmp_path: Path) -> Path:
        """A signed record beside a list of signers."""
        (tmp_path / "record").write_bytes(MESSAGE)
        (tmp_path / "record.sig").write_text(ARMOURED)
        (tmp_path / "signers").write_text(f'op-1 namespaces="{RECORD}" {sshsig.public_line(public())}\n')
        return tmp_path

    @staticmethod
    def says(folder: Path, who: str = "op-1", namespace: str = RECORD) -> int:
        """Its exit status."""
        return subprocess.run(
            [
                *("ssh-keygen", "-Y", "verify", "-f", folder / "signers", "-I", who),
                *("-n", namespace, "-s", folder / "record.sig"),
            ],
            input=(folder / "record").read_bytes(),
            capture_output=True,
            check=False,
        ).returncode

    def test_it_accepts_what_was_signed(self, folder: Path) -> None:
        """The right person, purpose and bytes are good."""
        assert self.says(folder) == 0

    def test_it_refuses_a_changed_byte(self, folder: Path) -> None:
        """One byte of the record changed is found."""
        (folder / "record").write_bytes(MESSAGE.replace(b"a", b"b"))
        assert self.says(folder) == 255

    def test_it_refuses_another_person(self, folder: Path) -> None:
        """The key of one person is not good for another."""
        assert self.says(folder, who="op-2") == 255

    def test_it_refuses_another_purpose(self, folder: Path) -> None:
        """A record's signature does not serve as that of a journal line."""
        assert self.says(folder, namespace="journal-line@tankwalk") == 255

    def test_it_takes_text_after_the_armour_and_we_do_not(self, folder: Path) -> None:
        """The stock tool passes over what follows a signature; here it counts as changed."""
        (folder / "record.sig").write_text(ARMOURED + "something added\n")
        assert self.says(folder) == 0
        with pytest.raises(sshsig.SignatureFault, match="first byte to its last"):
            sshsig.unarmour((folder / "record.sig").read_text())
