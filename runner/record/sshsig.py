"""Does this key's signature stand under this message, in the form that stock OpenSSH reads?

Owns the SSHSIG form (OpenSSH's PROTOCOL.sshsig, version 1) for Ed25519 and SHA-512, its armour, and the
text form of public keys. Must not know who a key belongs to, nor where keys lie.

One signature has one form here. Refused, though stock tools may take some of it:

- bytes after the signature, or text around the armour; other line lengths; other base64 of the same bytes
- a version other than 1, a reserved field that is not empty, a hash other than sha512
- a key other than Ed25519, a key or signature of another length
- a namespace other than the one asked for
- a key of small order, under which one signature would fit many messages
"""

from __future__ import annotations

import binascii
import hashlib
import re
import struct
from functools import lru_cache
from typing import NamedTuple

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

KEY_BYTES = 32
SIGNATURE_BYTES = 64
_MAGIC = b"SSHSIG"
_VERSION = struct.pack(">I", 1)
_KEY_TYPE = b"ssh-ed25519"
_HASH = b"sha512"
_BEGIN = "-----BEGIN SSH SIGNATURE-----\n"
_END = "-----END SSH SIGNATURE-----\n"
_COLUMNS = 70  # where ssh-keygen wraps
_NAMESPACE = re.compile(r"[!-~]{1,100}")
_KEY_AT = len(_MAGIC) + len(_VERSION) + 4 + 4 + len(_KEY_TYPE) + 4  # the 4s are lengths that stand before

# y coordinates of the eight points whose order divides 8, and the two other spellings (y + p) that fit in
# 255 bits; the test computes each. Under such a key a signature does not depend on the message.
_SMALL_ORDER = frozenset(
    bytes.fromhex(text)
    for text in (
        "0000000000000000000000000000000000000000000000000000000000000000",
        "0100000000000000000000000000000000000000000000000000000000000000",
        "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
        "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
        "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
        "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
    )
)


UNFIT = "it does not fit the signed bytes"
"""What is wrong with a signature whose sum does not come out."""


class SignatureFault(Exception):
    """A signature that does not stand.

    Attributes:
        reason: What is wrong with it, without a full stop.
    """

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class PublicKeyFault(ValueError):
    """Text that is no Ed25519 public key in OpenSSH's one-line form."""


class Signer:
    """A key bound to one namespace.

    Attributes:
        namespace: What its signatures are good for, such as ``journal-line@tankwalk``.
        public: The 32 bytes of its public key.
    """

    __slots__ = ("_key", "namespace", "public")

    def __init__(self, key: Ed25519PrivateKey, namespace: str) -> None:
        self._key = key
        self.namespace = namespace
        self.public = key.public_key().public_bytes_raw()

    def sign(self, message: bytes) -> str:
        """Base64 of the SSHSIG blob over a message."""
        signature = self._key.sign(_to_sign(self.namespace, message))
        return encode64(_head(self.public, self.namespace) + signature)


def sign(key: Ed25519PrivateKey, namespace: str, message: bytes) -> bytes:
    """The SSHSIG blob of a message.

    Raises:
        ValueError: An empty namespace, or one that is not printable ASCII without blanks.
    """
    public = key.public_key().public_bytes_raw()
    return _head(public, namespace) + key.sign(_to_sign(namespace, message))


class Claim(NamedTuple):
    """A signature in its one form, of which only the sum is left to be done.

    Attributes:
        public: The 32 bytes of the public key that it says it is by.
        signature: Its own 64 bytes.
        signed: What they stand over.
    """

    public: bytes
    key: Ed25519PublicKey
    signature: bytes
    signed: bytes

    def stands(self) -> bool:
        """Whether it was made with that key over that message."""
        try:
            self.key.verify(self.signature, self.signed)
        except InvalidSignature:
            return False
        return True


def check(blob: bytes, namespace: str, message: bytes) -> bytes:
    """The 32 bytes of the public key whose signature over a message a blob holds.

    Whose key it is, and whether that person may sign this, is for the caller to say.

    Raises:
        SignatureFault: It does not stand, or is not in the one form that `sign` gives.
    """
    claim = claimed(blob, namespace, message)
    if not claim.stands():
        raise SignatureFault(UNFIT)
    return claim.public


def claimed(blob: bytes, namespace: str, message: bytes) -> Claim:
    """What a blob in the one form that `sign` gives claims of a message; any other is a `SignatureFault`."""
    public, signature = blob[_KEY_AT : _KEY_AT + KEY_BYTES], blob[-SIGNATURE_BYTES:]
    if blob != _head(public, namespace) + signature:
        raise SignatureFault(_why_not(blob, namespace))
    key = _loaded(public)
    if key is None:
        raise SignatureFault("its key is of small order: anybody can sign under it")
    return Claim(public, key, signature, _to_sign(namespace, message))


def armour(blob: bytes) -> str:
    """A blob as the text of a ``.sig`` file, byte for byte as ssh-keygen writes it."""
    text = encode64(blob)
    rows = (text[at : at + _COLUMNS] + "\n" for at in range(0, len(text), _COLUMNS))
    return _BEGIN + "".join(rows) + _END


def unarmour(text: str) -> bytes:
    """The blob in the text of a ``.sig`` file.

    Raises:
        SignatureFault: Any text but the one that `armour` gives for that blob.
    """
    if not text.startswith(_BEGIN) or not text.endswith(_END):
        raise SignatureFault("the file is not one OpenSSH signature from its first byte to its last")
    blob = decode64(text[len(_BEGIN) : -len(_END)].replace("\n", ""))
    if armour(blob) != text:
        raise SignatureFault(
            "the file is not laid out as ssh-keygen writes it: something was changed or added"
        )
    return blob


def encode64(data: bytes) -> str:
    """Base64 of bytes on one line."""
    return binascii.b2a_base64(data, newline=False).decode("ascii")


def decode64(text: str) -> bytes:
    """The bytes of a base64 text.

    Raises:
        SignatureFault: No base64, or another spelling of those bytes than `encode64` gives.
    """
    try:
        data = binascii.a2b_base64(text, strict_mode=True)
    except ValueError as error:
        raise SignatureFault(f"it is not base64: {error}") from error
    if encode64(data) != text:
        raise SignatureFault("its base64 has more than one spelling of the same bytes")
    return data


def fingerprint(public: bytes) -> str:
    """``SHA256:…`` of a raw public key, as ssh-keygen prints it."""
    return "SHA256:" + encode64(hashlib.sha256(_key_blob(public)).digest()).rstrip("=")


def public_line(public: bytes) -> str:
    """``ssh-ed25519 AAAA…`` of a raw public key, without a comment."""
    return f"{_KEY_TYPE.decode('ascii')} {encode64(_key_blob(public))}"


def read_public_line(text: str) -> bytes:
    """The 32 bytes of a public key from its line; a comment after it is passed over.

    Raises:
        PublicKeyFault: Another kind of key, no key, or one of small order.
    """
    words = text.split(maxsplit=2)
    if len(words) < 2 or words[0] != _KEY_TYPE.decode("ascii"):  # noqa: PLR2004 - a kind and a key
        raise PublicKeyFault("no public key of the form 'ssh-ed25519 AAAA…'")
    try:
        blob = decode64(words[1])
    except SignatureFault as fault:
        raise PublicKeyFault(f"the key is damaged: {fault.reason}") from fault
    public = blob[-KEY_BYTES:]
    if blob != _key_blob(public):
        raise PublicKeyFault("the key is damaged: it is not an Ed25519 key of 32 bytes")
    if is_weak(public):
        raise PublicKeyFault("the key is of small order: anybody can sign under it")
    return public


def is_weak(public: bytes) -> bool:
    """Whether a key is a point of small order, under which signatures prove nothing."""
    return public[:-1] + bytes([public[-1] & 0x7F]) in _SMALL_ORDER


@lru_cache(maxsize=64)
def _loaded(public: bytes) -> Ed25519PublicKey | None:
    """A key ready to verify, or None for one of small order; few people sign many lines."""
    return None if is_weak(public) else Ed25519PublicKey.from_public_bytes(public)


def _string(data: bytes) -> bytes:
    """RFC 4251, section 5: a length of four bytes, then the bytes."""
    return struct.pack(">I", len(data)) + data


def _key_blob(public: bytes) -> bytes:
    return _string(_KEY_TYPE) + _string(public)


@lru_cache(maxsize=16)
def _purpose(namespace: str) -> bytes:
    """The three fields that both the blob and the signed bytes hold: namespace, nothing, hash."""
    if not _NAMESPACE.fullmatch(namespace):
        raise ValueError(
            f"{namespace!r} is no namespace: it takes 1 to 100 printable characters without blanks"
        )
    return _string(namespace.encode("ascii")) + _string(b"") + _string(_HASH)


def _to_sign(namespace: str, message: bytes) -> bytes:
    return _to_sign_head(namespace) + hashlib.sha512(message).digest()


@lru_cache(maxsize=16)
def _to_sign_head(namespace: str) -> bytes:
    """All of the signed bytes but the hash of the message, at their end."""
    return _MAGIC + _purpose(namespace) + _string(hashlib.sha512().digest())[: -hashlib.sha512().digest_size]


@lru_cache(maxsize=64)
def _head(public: bytes, namespace: str) -> bytes:
    """All of a blob but the signature's own bytes, at its end."""
    signed = _string(_KEY_TYPE) + _string(bytes(SIGNATURE_BYTES))
    blob = _MAGIC + _VERSION + _string(_key_blob(public)) + _purpose(namespace) + _string(signed)
    return blob[:-SIGNATURE_BYTES]


def _why_not(blob: bytes, namespace: str) -> str:
    """What a blob differs in from the form, field by field, for the person who reads the finding."""
    if not blob.startswith(_MAGIC):
        return "it does not begin with SSHSIG"
    if blob[len(_MAGIC) :][: len(_VERSION)] != _VERSION:
        return "its version is not 1"
    rest = blob[len(_MAGIC) + len(_VERSION) :]
    fields = []
    for _ in range(5):
        length = int.from_bytes(rest[:4], "big")
        if len(rest) < 4 + length:
            return "it is cut short"
        fields.append(rest[4 : 4 + length])
        rest = rest[4 + length :]
    key, space, reserved, algorithm, signed = fields
    wrong = {
        "its key is not an Ed25519 key of 32 bytes": key != _key_blob(key[-KEY_BYTES:]),
        f"its namespace is not {namespace}": space != namespace.encode("ascii"),
        "its reserved field is not empty": bool(reserved),
        "its hash is not sha512": algorithm != _HASH,
        "its signature is not an Ed25519 signature of 64 bytes": signed
        != _string(_KEY_TYPE) + _string(signed[-SIGNATURE_BYTES:]),
        "bytes follow after its end": bool(rest),
    }
    return next((reason for reason, found in wrong.items() if found), "it is not in its one form")
