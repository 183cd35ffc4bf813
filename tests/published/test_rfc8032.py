"""RFC 8032, section 7.1: the Ed25519 test vectors, through the keys and signatures of the records."""

from __future__ import annotations

import hashlib

import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from runner.record import sshsig

# RFC 8032, section 7.1: secret key, public key, message, signature.
VECTORS = {
    "TEST 1": (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        b"",
        (
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555"
            "fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b"
        ),
    ),
    "TEST 2": (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        bytes.fromhex("72"),
        (
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
            "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"
        ),
    ),
    "TEST 3": (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        bytes.fromhex("af82"),
        (
            "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac"
            "18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a"
        ),
    ),
    "TEST SHA(abc)": (
        "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
        "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
        hashlib.sha512(b"abc").digest(),
        (
            "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b589"
            "09351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704"
        ),
    ),
}


@pytest.mark.parametrize("name", VECTORS)
def test_the_signatures_underneath_are_those_of_the_rfc(name: str) -> None:
    """The library that signs here gives the RFC's public key and signature, and takes no other message."""
    secret, public, message, signature = VECTORS[name]
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    assert key.public_key().public_bytes_raw().hex() == public
    assert key.sign(message).hex() == signature
    reader = Ed25519PublicKey.from_public_bytes(bytes.fromhex(public))
    reader.verify(bytes.fromhex(signature), message)
    with pytest.raises(InvalidSignature):
        reader.verify(bytes.fromhex(signature), message + b"x")


@pytest.mark.parametrize("name", VECTORS)
def test_the_rfc_s_keys_sign_records(name: str) -> None:
    """A blob made with a key of the RFC names that very key when it is checked."""
    secret, public, message, _ = VECTORS[name]
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    blob = sshsig.sign(key, "batch-record@tankwalk", message)
    assert sshsig.check(blob, "batch-record@tankwalk", message).hex() == public
    assert sshsig.read_public_line(sshsig.public_line(bytes.fromhex(public))).hex() == public


# RFC 8032, section 5.1: the curve -x² + y² = 1 + d x² y² modulo p.
P = 2**255 - 19
D = -121665 * pow(121666, -1, P) % P


def times_eight_is_nothing(y: int) -> bool:
    """Whether the point with this y doubles three times to the neutral element, y = 1.

    Needs no x: doubling gives y' = (y² + x²) / (2 + x² - y²), and the curve gives x² = (y² - 1) / (d y² + 1).
    """
    for _ in range(3):
        x2 = (y * y - 1) * pow(D * y * y + 1, -1, P) % P
        y = (y * y + x2) * pow(2 + x2 - y * y, -1, P) % P
    return y == 1


def test_every_weak_key_listed_is_of_small_order() -> None:
    """By the RFC's curve equation, eight times the point of each key refused as weak is nothing."""
    for weak in sshsig._SMALL_ORDER:
        assert times_eight_is_nothing(int.from_bytes(weak, "little") % P)
    assert not times_eight_is_nothing(
        int.from_bytes(bytes.fromhex(VECTORS["TEST 1"][1]), "little") & (2**255 - 1)
    )


def test_no_weak_key_is_missing() -> None:
    """The y of all eight points of small order are there, in every spelling below 2^255."""
    listed = {int.from_bytes(weak, "little") for weak in sshsig._SMALL_ORDER}
    # Orders 1, 2 and 4 have y = 1, -1 and 0. Two points of order 4 halve into order 8, where y² = -x²,
    # and with the curve equation d y⁴ + 2 y² - 1 = 0 (from that equation, not from a list).
    order_8 = {y for y in listed if (D * pow(y, 4, P) + 2 * y * y - 1) % P == 0}
    assert len(order_8) == 2
    assert sum(order_8) == P  # y and -y; the other square is no square, so there is no third
    other = (-2 * pow(D, -1, P) - pow(next(iter(order_8)), 2, P)) % P
    assert pow(other, (P - 1) // 2, P) == P - 1
    assert listed == {0, 1, P - 1, P, P + 1} | order_8
