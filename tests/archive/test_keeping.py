"""How long records are kept; that one goes only when its time is over, archived, and by the owner's hand."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace

from archive.conftest import Kept
from runner.batch.moment import Moment, from_rfc3339, rfc3339
from runner.faults import InputFault
from runner.record.archive_delete import delete, due, kept_until_ms
from runner.record.archive_make import make
from runner.record.archive_verify import verify_archive
from runner.record.floor import Floor
from runner.record.index import search
from runner.record.index_query import Wanted
from runner.record.keys import Keys
from runner.record.layout import LINE_NAMESPACE
from runner.record.shop_events import BatchDeleted
from runner.record.shop_journal import ShopJournal
from runner.record.shop_reading import read_shop
from runner.record.shop_state import ShopBatch
from runner.record.verify import verify
from runner.shop.reading import parse_shop
from support.cli import call, program
from support.floors import PIN, SHOP, Works, write_shop

BATCH = "2001-0001"
LATER = Moment(from_rfc3339("2012-06-01T00:00:00.000Z"), "boot-2", 0)
REASON = "kept ten years, as the customer asks"


def gone(
    kept: Kept, batch: str = BATCH, who: str = "olive", now: Moment = LATER, years: int | None = 10
) -> Path:
    """Delete a batch; returns its archive."""
    return delete(kept.folder, batch, REASON, years, kept.mill.people[who], now)


@pytest.mark.parametrize(
    ("ended", "years", "until"),
    [
        ("2001-12-30T08:00:00.000Z", 10, "2011-12-30T08:00:00.000Z"),
        ("2024-02-29T12:00:00.000Z", 1, "2025-03-01T12:00:00.000Z"),
        ("2024-02-29T12:00:00.000Z", 4, "2028-02-29T12:00:00.000Z"),
        ("2001-12-30T08:00:00.000Z", 9000, None),
        ("2001-12-30T08:00:00.000Z", None, None),
    ],
)
def test_a_record_is_kept_whole_years(ended: str, years: int | None, until: str | None) -> None:
    """The same day of a later year, by the calendar; for ever without a figure, or beyond the calendar."""
    batch = ShopBatch("2001-0001", "0" * 64, 1, "otto", closed=2, closed_at_ms=from_rfc3339(ended))
    until_ms = kept_until_ms(batch, years)
    assert (None if until_ms is None else rfc3339(until_ms)) == until


def test_keep_years_is_read_from_the_shops_file() -> None:
    """For ever where it says nothing; a whole number of years else."""
    assert parse_shop(SHOP).limits.keep_years is None
    assert parse_shop(f"{SHOP}\n[limits]\nkeep_years = 10\n").limits.keep_years == 10


@pytest.mark.parametrize("figure", ["0", "-1", "1.5", '"10 y"', "true", "2000"])
def test_what_is_no_number_of_years_is_refused(figure: str) -> None:
    """With file and line, as everything in that file."""
    with pytest.raises(InputFault) as caught:
        parse_shop(f"{SHOP}\n[limits]\nkeep_years = {figure}\n")
    assert caught.value.faults[0].line is not None


def test_what_is_due_is_what_ended_long_enough_ago(kept: Kept) -> None:
    """To the millisecond; what is open is never due."""
    shop = read_shop(kept.logs)
    ended_ms = shop.batches[BATCH].closed_at_ms
    assert ended_ms is not None
    until = rfc3339(ended_ms).replace("2001-", "2011-", 1)
    now = LATER._replace(at_ms=from_rfc3339(until))
    assert [one.batch for one in due(shop, 10, now)] == [BATCH]
    assert due(shop, 10, now._replace(at_ms=now.at_ms - 1)) == ()
    assert due(shop, None, LATER) == ()
    everything = LATER._replace(at_ms=from_rfc3339("2090-01-01T00:00:00.000Z"))
    assert {one.batch for one in due(shop, 10, everything)} == set(shop.batches) - {"2002-0003"}


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


def _too_early(kept: Kept) -> Path:
    return gone(kept, now=LATER._replace(at_ms=from_rfc3339("2011-12-29T00:00:00.000Z")))


def _kept_for_ever(kept: Kept) -> Path:
    return gone(kept, years=None)


def _open(kept: Kept) -> Path:
    return gone(kept, "2002-0003")


def _unknown(kept: Kept) -> Path:
    return gone(kept, "2001-0099")


def _by_another(kept: Kept) -> Path:
    return gone(kept, who="cleo")


def _without_a_reason(kept: Kept) -> Path:
    return delete(kept.folder, BATCH, " ", 10, kept.mill.people["olive"], LATER)


def _spoilt(kept: Kept) -> Path:
    record = kept.logs / BATCH / "record.toml"
    record.write_bytes(record.read_bytes().replace(b"pieces_released = 2", b"pieces_released = 3"))
    return gone(kept)


def _with_a_spoilt_archive(kept: Kept) -> Path:
    (kept.folder / "archive").mkdir()
    (kept.folder / "archive" / f"{BATCH}.zip").write_bytes(b"PK")
    return gone(kept)


def _with_anothers_archive(kept: Kept) -> Path:
    (kept.folder / "archive").mkdir()
    make(kept.logs, "batch 2001-0002", kept.folder / "archive" / f"{BATCH}.zip")
    return gone(kept)


def _with_an_older_archive(kept: Kept) -> Path:
    (kept.folder / "archive").mkdir()
    make(kept.logs, f"batch {BATCH}", kept.folder / "archive" / f"{BATCH}.zip")
    (kept.logs / BATCH / "picture.png").write_bytes(b"put there later")
    return gone(kept)


@pytest.mark.parametrize(
    "attempt",
    [
        _too_early,
        _kept_for_ever,
        _open,
        _unknown,
        _by_another,
        _without_a_reason,
        _spoilt,
        _with_a_spoilt_archive,
        _with_anothers_archive,
        _with_an_older_archive,
    ],
)
def test_what_may_not_go_stays(kept: Kept, attempt: Callable[[Kept], Path]) -> None:
    """Refused with what to do; no line is written and no batch is touched."""
    before = (kept.logs / "shop.jsonl").read_bytes()
    with pytest.raises(InputFault) as caught:
        attempt(kept)
    assert caught.value.faults[0].remedy
    assert (kept.logs / "shop.jsonl").read_bytes() == before
    assert (kept.logs / BATCH / "record.toml").is_file()


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


def _lines(kept: Kept, event: BatchDeleted, who: str) -> None:
    with ShopJournal.open(kept.logs, LATER) as shop:
        shop.write(event, who, LATER, kept.mill.people[who].key.signer(LINE_NAMESPACE))


@pytest.mark.parametrize(
    ("batch", "change", "who"),
    [
        ("2002-0003", {}, "olive"),
        ("2001-0099", {}, "olive"),
        (BATCH, {"record": "0" * 64}, "olive"),
        (BATCH, {"record": "no hash"}, "olive"),
        (BATCH, {"reason": ""}, "olive"),
        (BATCH, {"reason": "\x1b[31m"}, "olive"),
        (BATCH, {}, "cleo"),
        (BATCH, {}, "otto"),
    ],
)
def test_a_line_of_deletion_that_does_not_count_is_not_written(
    kept: Kept, batch: str, change: dict[str, str], who: str
) -> None:
    """An open or unknown batch, another record, no reason, somebody who is no owner."""
    record = read_shop(kept.logs).batches[BATCH].record or ""
    event = replace(BatchDeleted(batch=batch, record=record, reason=REASON), **change)
    before = (kept.logs / "shop.jsonl").read_bytes()
    with pytest.raises(InputFault):
        _lines(kept, event, who)
    assert (kept.logs / "shop.jsonl").read_bytes() == before


def test_one_batch_is_deleted_once(kept: Kept) -> None:
    """The second line does not count."""
    record = read_shop(kept.logs).batches[BATCH].record or ""
    event = BatchDeleted(batch=BATCH, record=record, reason=REASON)
    _lines(kept, event, "olive")
    with pytest.raises(InputFault, match="deleted before"):
        _lines(kept, event, "olive")


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
