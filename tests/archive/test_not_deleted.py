"""What may not go: a batch still to be kept, one that does not prove, or by another hand than the owner's."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace

from runner.batch.moment import from_rfc3339
from runner.faults import InputFault
from runner.record.archive_delete import delete
from runner.record.archive_make import make
from runner.record.layout import LINE_NAMESPACE
from runner.record.shop_events import BatchDeleted
from runner.record.shop_journal import ShopJournal
from runner.record.shop_reading import read_shop
from support.kept import BATCH, LATER, REASON, Kept, gone


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
