"""Archives whose members, or the list of them, were changed: each is a no that names what it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.record import archive
from support.kept import Kept
from support.spoilt_archives import RECORD, form, listed, packed, refused


@pytest.mark.parametrize("suffix", ["zip", "tar"])
@pytest.mark.parametrize(
    "name", [RECORD, "logs/2001-0002/journal.jsonl", "logs/shop.jsonl", "logs/allowed_signers"]
)
def test_a_changed_member_is_found(kept: Kept, tmp_path: Path, name: str, suffix: str) -> None:
    """By the list; and where the list was made to fit, by what is signed."""
    members = packed(kept, tmp_path)
    changed = {**members, name: members[name].replace(b"1", b"2", 1)}
    assert changed != members
    assert name in refused(kept, form(tmp_path / f"a.{suffix}", changed), tmp_path).findings[0].where
    refused(kept, form(tmp_path / f"b.{suffix}", listed(changed)), tmp_path)


@pytest.mark.parametrize("name", [RECORD, f"{RECORD}.sig", "logs/2001-0001/journal.jsonl", "logs/shop.jsonl"])
def test_a_missing_member_is_found(kept: Kept, tmp_path: Path, name: str) -> None:
    """By the list; and by the proof, where the list was made to fit."""
    members = packed(kept, tmp_path)
    del members[name]
    refused(kept, form(tmp_path / "a.zip", members), tmp_path)
    refused(kept, form(tmp_path / "b.zip", listed(members)), tmp_path)


def test_a_batch_taken_out_of_a_year_is_found(kept: Kept, tmp_path: Path) -> None:
    """The shop's journal in the archive knows that it ended."""
    members = packed(kept, tmp_path)
    left = {name: data for name, data in members.items() if "2001-0002" not in name}
    verdict = refused(kept, form(tmp_path / "a.tar", listed(left)), tmp_path)
    assert any(found.where == "2001-0002" and "missing" in found.what for found in verdict.findings)


def test_a_batch_of_another_year_or_none_is_found(kept: Kept, tmp_path: Path) -> None:
    """One that does not belong there, and one that the shop does not know."""
    members = packed(kept, tmp_path)
    more = {name.replace("2001-0002", "2001-0009"): data for name, data in members.items()}
    refused(kept, form(tmp_path / "a.zip", listed({**members, **more})), tmp_path)
    refused(kept, form(tmp_path / "b.zip", listed(members, "year 2002")), tmp_path)
    refused(kept, form(tmp_path / "c.zip", listed(members, "batch 2001-0001")), tmp_path)


@pytest.mark.parametrize(
    "manifest",
    [
        b"",
        b"format = 2\n",
        b'format = 1\nof = "year 2001"\n[[member]]\nname = "x"\n',
        b'format = 1\nof = "all"\n',
        b"a." * 100_000,
        b"\xff\xfe",
        b'format = 1\nof = "year 2001"\n# a remark\n',
    ],
)
def test_a_list_in_another_form_is_refused(kept: Kept, tmp_path: Path, manifest: bytes) -> None:
    """It has one form, so that no two readers find two things in it."""
    members = {**packed(kept, tmp_path), archive.MANIFEST: manifest}
    assert refused(kept, form(tmp_path / "a.zip", members), tmp_path).findings[0].where == archive.MANIFEST
