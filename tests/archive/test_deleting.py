"""What a batch leaves that was let go: its archive, a line, a number that is never given again."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from runner.batch.moment import Moment, from_rfc3339
from runner.faults import InputFault
from runner.record.archive_make import make
from runner.record.archive_verify import verify_archive
from runner.record.floor import Floor
from runner.record.index import search
from runner.record.index_query import Wanted
from runner.record.keys import Keys
from runner.record.shop_journal import ShopJournal
from runner.record.shop_reading import read_shop
from runner.record.verify import verify
from support.cli import call, program
from support.floors import PIN, SHOP, Works, write_shop
from support.kept import BATCH, LATER, REASON, Kept, gone


def test_a_deleted_batch_is_known_and_gone(kept: Kept) -> None:
    """The shop proves without it, and says who took it away, when and why; the list has it no more."""
    archive = gone(kept)
    assert not (kept.logs / BATCH).exists()
    verdict = verify(kept.folder, owner=kept.owner)
    assert verdict.findings == ()
    (proof,) = [one for one in verdict.batches if one.batch == BATCH]
    assert proof.status == "deleted"
    assert proof.notes == (f"deleted on 2012-06-01 by Olive Demo: {REASON}",)
    assert BATCH not in {one.batch for one in search(kept.logs, Wanted()).batches}
    assert verify_archive(archive, kept.owner).ok
    assert sorted(path.name for path in kept.logs.iterdir() if "2001" in path.name) == ["2001-0002"]


def test_a_year_without_a_deleted_batch_proves_and_notes_it(kept: Kept, tmp_path: Path) -> None:
    """An archive made later cannot hold it."""
    gone(kept)
    make(kept.logs, "year 2001", tmp_path / "a.zip")
    verdict = verify_archive(tmp_path / "a.zip", kept.owner)
    assert (verdict.findings, [proof.batch for proof in verdict.batches]) == ((), ["2001-0002"])
    assert any(REASON in note for note in verdict.notes)


def test_its_number_is_never_given_again(kept: Kept) -> None:
    """The shop's journal still knows it."""
    gone(kept)
    with ShopJournal.open(kept.logs, LATER) as shop:
        assert BATCH in shop.state.batches


@pytest.mark.parametrize("at", ["rename", "rmtree"])
def test_a_deletion_broken_off_is_finished_by_asking_again(
    kept: Kept, monkeypatch: pytest.MonkeyPatch, at: str
) -> None:
    """The line is written and the power goes: before the folder moved, or before its files went."""
    real = shutil.rmtree

    def power_cut(path: Path, *rest: object, **_: object) -> None:
        if at == "rename" and path.name == BATCH:
            raise OSError(5, "the power went")
        if at == "rmtree" and Path(path).name.startswith(".deleted-"):
            raise OSError(5, "the power went")
        assert at == "rmtree", rest  # nothing else is renamed in a deletion
        real(path)

    (kept.folder / "archive").mkdir()
    make(kept.logs, f"batch {BATCH}", kept.folder / "archive" / f"{BATCH}.zip")
    with monkeypatch.context() as patch:
        owner, name = (Path, "rename") if at == "rename" else (shutil, "rmtree")
        patch.setattr(owner, name, power_cut)
        with pytest.raises(OSError, match="the power went"):
            gone(kept)
    lines = read_shop(kept.logs).lines
    verdict = verify(kept.folder, owner=kept.owner)
    assert [found.where for found in verdict.findings] == ([f"{BATCH} {BATCH}"] if at == "rename" else [])
    (notes,) = [proof.notes for proof in verdict.batches if proof.batch == BATCH]
    assert any("broken off" in note for note in notes) is (at == "rmtree")
    gone(kept)
    assert read_shop(kept.logs).lines == lines
    assert verify(kept.folder, owner=kept.owner).findings == ()
    assert [path.name for path in kept.logs.iterdir() if BATCH in path.name] == []
    with pytest.raises(InputFault, match="deleted before"):
        gone(kept)


def test_a_deleted_batch_put_back_is_found(kept: Kept, tmp_path: Path) -> None:
    """It proves by itself, and may not be there."""
    (kept.logs / BATCH).rename(tmp_path / "taken")
    (tmp_path / "taken").rename(kept.logs / BATCH)
    kept_files = {path.name: path.read_bytes() for path in (kept.logs / BATCH).iterdir()}
    gone(kept)
    (kept.logs / BATCH).mkdir()
    for name, data in kept_files.items():
        (kept.logs / BATCH / name).write_bytes(data)
    (found,) = verify(kept.folder, owner=kept.owner).findings
    assert "it lies here" in found.what


def test_the_commands_list_and_delete(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With the owner's PIN on standard input; a wrong one, or none, changes nothing."""
    began = Moment(from_rfc3339("2001-12-30T08:00:00.000Z"), "boot-1", 0)
    works = Works(write_shop(tmp_path / "shop"), tmp_path / "keys", now=began).hire()
    works.follow_to(works.open(), "release")
    works.floor.close()
    shop = works.folder / "procedures" / "shop.toml"
    assert "for ever" in call(capsys, "archive", "due", "--shop", str(works.folder)).out
    shop.write_text(f"{SHOP}\n[limits]\nkeep_years = 10\n", encoding="utf-8")
    told = call(capsys, "archive", "due", "--shop", str(works.folder), "--json").json()
    assert (told["keep_years"], [one["batch"] for one in told["due"]]) == (10, [BATCH])
    args = ("archive", "delete", BATCH, "--reason", REASON, "--by", "olive", "--pin-stdin", "--shop", "shop")
    env = {"TANKWALK_KEYS": str(works.keys)}
    for pin, by in ((b"000000\n", "olive"), (b"", "olive"), (f"{PIN}\n".encode(), "cleo")):
        given = tuple(by if one == "olive" else one for one in args)
        assert program(*given, cwd=tmp_path, stdin=pin, env=env).status == 2
        assert (works.logs / BATCH).is_dir()
    ran = program(*args, "--json", cwd=tmp_path, stdin=f"{PIN}\n".encode(), env=env)
    assert (ran.status, ran.json()["deleted"]) == (0, BATCH)
    assert not (works.logs / BATCH).exists()
    assert re.search(rf"{BATCH}: deleted\n.*{REASON}", call(capsys, "verify", str(works.folder)).out)
    assert Floor(works.folder, Keys(works.keys, rounds=1)).standing() == ()
