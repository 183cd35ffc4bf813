"""Members of an archive put in each other's place, or taken from another archive, under a list that fits."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.kept import BEGAN, Kept
from support.mill import Mill
from support.spoilt_archives import Members, form, listed, packed, refused

FIRST, SECOND = "logs/2001-0001", "logs/2001-0002"
FILES = ("journal.jsonl", "record.toml", "record.toml.sig")


def changed_over(members: Members, *names: str) -> Members:
    """The members with these files of the two batches in each other's folder."""
    pairs = {
        f"{one}/{name}": f"{other}/{name}"
        for name in names
        for one, other in ((FIRST, SECOND), (SECOND, FIRST))
    }
    return {name: members[pairs.get(name, name)] for name in members}


@pytest.mark.parametrize("suffix", ["zip", "tar"])
@pytest.mark.parametrize("names", [*((name,) for name in FILES), FILES[1:], FILES])
def test_members_changed_over_are_found(
    kept: Kept, tmp_path: Path, names: tuple[str, ...], suffix: str
) -> None:
    """By what is signed: each file singly, record with signature, and whole batches."""
    members = changed_over(packed(kept, tmp_path), *names)
    refused(kept, form(tmp_path / f"a.{suffix}", listed(members)), tmp_path)
    refused(kept, form(tmp_path / f"b.{suffix}", members), tmp_path)


def test_a_member_in_anothers_place_is_found(kept: Kept, tmp_path: Path) -> None:
    """The journal as the record, the signature as the list of signers, the shop's journal as a batch's."""
    members = packed(kept, tmp_path)
    for name, other in (
        (f"{FIRST}/record.toml", f"{FIRST}/journal.jsonl"),
        ("logs/allowed_signers", f"{FIRST}/record.toml.sig"),
        (f"{FIRST}/journal.jsonl", "logs/shop.jsonl"),
    ):
        refused(
            kept, form(tmp_path / f"{len(name)}.zip", listed({**members, name: members[other]})), tmp_path
        )


@pytest.fixture(scope="module")
def others(tmp_path_factory: pytest.TempPathFactory) -> Members:
    """The members of an archive of another shop, with a batch of the same number."""
    folder = tmp_path_factory.mktemp("others")
    mill = Mill(folder / "shop", now=BEGAN)
    for _ in range(2):
        mill.walk(mill.open())
    mill.close()
    other = Kept(folder / "shop", mill)
    return packed(other, folder)


@pytest.mark.parametrize("names", [FILES, ("shop.jsonl",), ("shop.jsonl", "allowed_signers")])
def test_members_of_another_shops_archive_are_found(
    kept: Kept, tmp_path: Path, others: Members, names: tuple[str, ...]
) -> None:
    """A whole batch of the same number, or what it rests on."""
    theirs = {
        name: data
        for name, data in others.items()
        if name.rpartition("/")[2] in names and ("2001-0001" in name or name.count("/") == 1)
    }
    assert theirs
    members = {**packed(kept, tmp_path), **theirs}
    refused(kept, form(tmp_path / "a.zip", listed(members)), tmp_path)


def test_another_shops_whole_archive_is_found_by_the_owner(
    kept: Kept, tmp_path: Path, others: Members
) -> None:
    """It proves by itself: only the fingerprint on paper tells whose it is."""
    verdict = refused(kept, form(tmp_path / "a.zip", listed(others)), tmp_path)
    assert "not by the owner given" in verdict.findings[0].what
