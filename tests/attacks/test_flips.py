"""A sample of single bits and of lengths; `tests/bench/flips.py` tries them all."""

from __future__ import annotations

import random

import pytest

from support.flips import Bench, every_cut, every_flip
from support.saying import Found
from support.works import SEALED, UNSIGNED, Works


@pytest.mark.parametrize("batch", [SEALED, UNSIGNED])
def test_a_bit_flipped_anywhere_is_found(works: Works, batch: str) -> None:
    """Found in the file where it is, in signed lines and in lines without a signature alike."""
    bench = Bench(works, works.batch(batch))
    sample = random.Random(batch).sample(list(every_flip(bench.folder)), 150)  # noqa: S311  # a repeatable choice
    assert bench.missed(sample) == []


@pytest.mark.parametrize("batch", [SEALED, UNSIGNED])
def test_a_file_cut_to_any_length_is_found(works: Works, batch: str) -> None:
    """Found in the file that was cut, also where the cut falls between two lines."""
    bench = Bench(works, works.batch(batch))
    sample = random.Random(batch).sample(list(every_cut(bench.folder)), 150)  # noqa: S311  # a repeatable choice
    assert bench.missed(sample) == []


@pytest.mark.parametrize("name", ["shop.jsonl", "allowed_signers"])
def test_a_bit_flipped_beside_the_records_is_found(works: Works, found: Found, name: str) -> None:
    """Found: in the shop's journal and in the list of signers no bit is without weight."""
    file = works.logs / name
    content = file.read_bytes()
    rng = random.Random(name)  # noqa: S311  # a repeatable choice, no secret
    for at in rng.sample(range(len(content)), 30):
        spoilt = bytearray(content)
        spoilt[at] ^= 1 << rng.randrange(8)
        file.write_bytes(spoilt)
        found(works.batch(SEALED), name)
