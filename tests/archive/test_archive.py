"""Archives: what goes in proves on its own and comes out again, byte for byte."""

from __future__ import annotations

import subprocess
import tarfile
import zipfile
from pathlib import Path

import pytest

from runner.faults import InputFault
from runner.record.archive_make import make
from runner.record.archive_verify import restore, verify_archive
from runner.record.verify import verify
from support.cli import call
from support.kept import Kept

FORMS = ("zip", "tar")
BATCHES_2001, BATCHES_2002 = ("2001-0001", "2001-0002"), ("2002-0001", "2002-0002")


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(
    ("of", "batches"),
    [("batch 2001-0002", ("2001-0002",)), ("year 2001", BATCHES_2001), ("year 2002", BATCHES_2002)],
)
def test_an_archive_proves_on_its_own(
    kept: Kept, tmp_path: Path, form: str, of: str, batches: tuple[str, ...]
) -> None:
    """Against the owner's fingerprint, with the shop gone; what was open is noted and not in it."""
    out = tmp_path / f"packed.{form}"
    make(kept.logs, of, out)
    kept.folder.rename(tmp_path / "gone")
    verdict = verify_archive(out, kept.owner)
    assert (verdict.findings, verdict.trust) == ((), "pinned")
    assert tuple(proof.batch for proof in verdict.batches) == batches
    assert {proof.status for proof in verdict.batches} == {"sealed"}
    assert any("2002-0003" in note for note in verdict.notes) is (of == "year 2002")


@pytest.mark.parametrize("form", FORMS)
def test_another_owner_is_a_no(kept: Kept, tmp_path: Path, form: str) -> None:
    """The fingerprint on paper is of another key."""
    make(kept.logs, "year 2001", tmp_path / f"a.{form}")
    verdict = verify_archive(tmp_path / f"a.{form}", kept.mill.people["otto"].key.fingerprint)
    assert not verdict.ok


@pytest.mark.parametrize("form", FORMS)
def test_the_same_records_give_the_same_bytes(kept: Kept, tmp_path: Path, form: str) -> None:
    """Whenever and under whatever name it is made; times of files do not count."""
    first, second = tmp_path / f"a.{form}", tmp_path / f"another.{form}"
    make(kept.logs, "year 2001", first)
    (kept.logs / "2001-0001" / "record.toml").touch()
    make(kept.logs, "year 2001", second)
    assert first.read_bytes() == second.read_bytes()


def test_stock_tools_read_it(kept: Kept, tmp_path: Path) -> None:
    """`tar` and the library's own readers see plain files in the order of their names."""
    for form in FORMS:
        make(kept.logs, "batch 2001-0001", tmp_path / f"a.{form}")
    listed = subprocess.run(
        ["tar", "tf", tmp_path / "a.tar"], capture_output=True, text=True, check=True
    ).stdout
    with zipfile.ZipFile(tmp_path / "a.zip") as packed:
        assert packed.testzip() is None
        assert packed.namelist() == listed.split() == sorted(listed.split())
        journal = packed.read("logs/2001-0001/journal.jsonl")
    assert journal == (kept.logs / "2001-0001" / "journal.jsonl").read_bytes()


@pytest.mark.parametrize("form", FORMS)
def test_what_is_restored_verifies(kept: Kept, tmp_path: Path, form: str) -> None:
    """Each batch in its folder, by the command for a shop, with the same files as before."""
    out, folder = tmp_path / f"a.{form}", tmp_path / "restored"
    make(kept.logs, "year 2001", out)
    assert restore(out, folder, kept.owner).ok
    for name in BATCHES_2001:
        verdict = verify(folder / "logs" / name, owner=kept.owner)
        assert verdict.findings == ()
        for file in ("journal.jsonl", "record.toml", "record.toml.sig"):
            assert (folder / "logs" / name / file).read_bytes() == (kept.logs / name / file).read_bytes()
    assert [path for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_a_folder_that_holds_something_is_not_restored_into(kept: Kept, tmp_path: Path) -> None:
    """Nor a file, nor a link; an empty folder is."""
    out = tmp_path / "a.zip"
    make(kept.logs, "year 2001", out)
    full, link, empty = tmp_path / "full", tmp_path / "link", tmp_path / "empty"
    full.mkdir()
    (full / "x").write_text("mine", encoding="utf-8")
    empty.mkdir()
    link.symlink_to(empty)
    for folder in (full, link, out):
        with pytest.raises(InputFault):
            restore(out, folder, kept.owner)
    assert [path.name for path in full.iterdir()] == ["x"]
    assert restore(out, empty, kept.owner).ok


def test_files_that_were_put_beside_a_record_go_with_it(kept: Kept, tmp_path: Path) -> None:
    """A picture; what a terminal's lock left does not."""
    folder = kept.logs / "2001-0001"
    (folder / "picture.png").write_bytes(b"no real picture")
    (folder / "journal.lock").touch()
    make(kept.logs, "batch 2001-0001", tmp_path / "a.tar")
    with tarfile.open(tmp_path / "a.tar") as tar:
        names = [name.rpartition("/")[2] for name in tar.getnames() if "2001-0001" in name]
    assert names == ["journal.jsonl", "picture.png", "record.toml", "record.toml.sig"]
    assert verify_archive(tmp_path / "a.tar").ok


def _no_record(kept: Kept) -> None:
    (kept.logs / "2001-0001" / "record.toml").unlink()


def _a_link_beside(kept: Kept) -> None:
    (kept.logs / "2001-0001" / "x.toml").symlink_to("/etc/hostname")


def _a_folder_beside(kept: Kept) -> None:
    (kept.logs / "2001-0001" / "sub").mkdir()


def _a_strange_name(kept: Kept) -> None:
    (kept.logs / "2001-0001" / "a b").write_text("x", encoding="utf-8")


def _a_linked_folder(kept: Kept) -> None:
    (kept.logs / "2001-0001").rename(kept.folder / "away")
    (kept.logs / "2001-0001").symlink_to(kept.folder / "away")


def _a_spoilt_shop(kept: Kept) -> None:
    journal = kept.logs / "shop.jsonl"
    journal.write_bytes(journal.read_bytes().replace(b"Olive Demo", b"Olive Dem0", 1))


def _no_shop(kept: Kept) -> None:
    (kept.logs / "shop.jsonl").unlink()


@pytest.mark.parametrize(
    "spoil",
    [
        _no_record,
        _a_link_beside,
        _a_folder_beside,
        _a_strange_name,
        _a_linked_folder,
        _a_spoilt_shop,
        _no_shop,
    ],
)
def test_what_cannot_be_packed_whole_is_not_packed(kept: Kept, tmp_path: Path, spoil: object) -> None:
    """With what is wrong; nothing is left behind."""
    assert callable(spoil)
    spoil(kept)
    before = sorted(path.name for path in tmp_path.iterdir())
    with pytest.raises(InputFault):
        make(kept.logs, "year 2001", tmp_path / "a.zip")
    assert sorted(path.name for path in tmp_path.iterdir()) == before


def test_an_archive_is_never_written_over(kept: Kept, tmp_path: Path) -> None:
    """What stands there stays."""
    (tmp_path / "a.zip").write_bytes(b"mine")
    with pytest.raises(InputFault):
        make(kept.logs, "year 2001", tmp_path / "a.zip")
    assert (tmp_path / "a.zip").read_bytes() == b"mine"


def test_commands_make_verify_and_restore(
    kept: Kept, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By a batch's folder, and by a shop's with a year; exit 0, one JSON document."""
    batch, year = tmp_path / "batch.zip", tmp_path / "year.tar"
    ran = call(capsys, "archive", "make", str(kept.logs / "2001-0001"), str(batch), "--json")
    assert (ran.status, ran.json()["of"]) == (0, "batch 2001-0001")
    assert call(capsys, "archive", "make", str(kept.folder), str(year), "--year", "2002").status == 0
    for file in (batch, year):
        told = call(capsys, "archive", "verify", str(file), "--owner", kept.owner, "--json").json()
        assert (told["ok"], told["trust"], told["findings"]) == (True, "pinned", [])
    assert call(capsys, "archive", "restore", str(year), str(tmp_path / "out")).status == 0
    assert (tmp_path / "out" / "logs" / "2002-0001" / "record.toml").is_file()


@pytest.mark.parametrize(
    "args",
    [
        ("make", "{shop}", "{tmp}/a.zip"),
        ("make", "{shop}/logs/2002-0003", "{tmp}/a.zip"),
        ("make", "{shop}/logs/2001-0001", "{tmp}/a.rar"),
        ("make", "{shop}/logs/2001-0001", "{tmp}/none/a.zip"),
        ("make", "{shop}/logs/2009-0001", "{tmp}/a.zip"),
        ("verify", "{tmp}/none.zip"),
        ("verify", "{tmp}"),
        ("verify", "{shop}/procedures/shop.toml", "--owner", "SHA256:x"),
        ("restore", "{tmp}/none.zip", "{tmp}/out"),
    ],
)
def test_a_wrong_call_is_exit_2(
    kept: Kept, tmp_path: Path, capsys: pytest.CaptureFixture[str], args: tuple[str, ...]
) -> None:
    """Nothing there, nothing ended, a form that is none."""
    given = [arg.format(shop=kept.folder, tmp=tmp_path) for arg in args]
    ran = call(capsys, "archive", *given, "--json")
    assert ran.status == 2
    assert ran.errors()


def test_an_archive_of_records_that_do_not_prove_says_so(
    kept: Kept, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It is made, for whoever must look into it, and the answer is no."""
    record = kept.logs / "2001-0001" / "record.toml"
    record.write_bytes(record.read_bytes().replace(b"pieces_released = 2", b"pieces_released = 3"))
    ran = call(capsys, "archive", "make", str(record.parent), str(tmp_path / "a.zip"), "--json")
    assert ran.status == 1
    assert any("record.toml" in found["where"] for found in ran.json()["findings"])
    assert (tmp_path / "a.zip").is_file()
