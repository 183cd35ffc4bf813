"""How near is proving a thousand sealed batches to the bare sums that no proof can do without?

Run: ``python tests/bench/verify_speed.py [BATCHES]``. One batch is walked through the example shop's first
route to its release; the others have its facts, and each its own name, nonce, chain, signatures, record and
seal, in one shop whose journal knows them all. One process proves them. Beside it stands the bare cost:
SHA-256 over the same bytes, and Ed25519 verification of the same signatures by ``cryptography`` alone, the
keys loaded and the signed bytes at hand.
"""

from __future__ import annotations

import gc
import hashlib
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

sys.path.insert(0, str(Path(__file__).parents[1]))

from runner.record import sshsig
from runner.record.lines import unsigned_bytes
from runner.record.trust import ground
from runner.record.verify_batch import prove_batch
from support.forger import LINES, RECORDS, read
from support.sealed import sealed_batches
from support.works import Works

TARGET = 0.6

Signed = tuple[Ed25519PublicKey, bytes, bytes]
"""Key, signature, and the bytes that it signs."""


def signatures(works: Works) -> Iterator[Signed]:
    """Every signature in a shop: of lines and of records."""
    keys = {who: Ed25519PublicKey.from_public_bytes(one.key.public) for who, one in works.people.items()}
    for file in sorted(works.logs.rglob("*.jsonl")):
        lines = read(file)
        for line in lines:
            assert line.sig is not None
            blob = sshsig.decode64(line.sig)
            yield keys[line.who], blob[-64:], sshsig._to_sign(LINES, unsigned_bytes(line))
        record = file.with_name("record.toml")
        if record.exists():
            blob = sshsig.unarmour(record.with_name("record.toml.sig").read_text("ascii"))
            yield keys[lines[-1].who], blob[-64:], sshsig._to_sign(RECORDS, record.read_bytes())


def bare_s(contents: list[bytes], signed: list[Signed]) -> float:
    """Processor seconds of the bare sums."""
    began = time.process_time()
    for content in contents:
        hashlib.sha256(content).digest()
    for key, signature, message in signed:
        key.verify(signature, message)
    return time.process_time() - began


def proof_s(works: Works) -> float:
    """Processor seconds of the proof, files read and all."""
    began = time.process_time()
    trusted = ground(works.logs, None, None)
    assert trusted.shop is not None
    proofs = [prove_batch(works.batch(name), trusted) for name in trusted.shop.batches]
    spent_s = time.process_time() - began
    assert not trusted.findings
    assert all(proof.status == "sealed" and not proof.findings for proof in proofs)
    return spent_s


def main() -> int:
    """Measure, and say how the two stand to each other."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    memory = Path("/dev/shm")  # noqa: S108  # in memory where the system has that, so that no disk is measured
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as name:
        works = sealed_batches(Path(name), count)
        files = [file for file in works.logs.rglob("*") if file.is_file()]
        contents = [file.read_bytes() for file in files]
        signed = list(signatures(works))
        gc.freeze()  # what is held here for the bare sums is no matter of the proof's
        bare = min(bare_s(contents, signed) for _ in range(2))
        proof = min(proof_s(works) for _ in range(2))
    size_mb = sum(map(len, contents)) / 1e6
    print(f"{count} batches, {size_mb:.1f} MB, {len(signed)} signatures")
    print(f"bare sums {bare:.2f} s, proof {proof:.2f} s: {bare / proof:.0%} of bare speed")
    return 0 if bare / proof >= TARGET else 1


if __name__ == "__main__":
    sys.exit(main())
