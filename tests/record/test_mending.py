"""Orphans: batches whose first line reached the disk and whose line in the shop's journal did not."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from runner.record.lines import line_hash
from runner.record.mending import adopt_orphans, last_hashes
from runner.record.shop_journal import ShopJournal
from runner.record.shop_reading import read_shop
from support.floors import Works, write_shop


@pytest.fixture(scope="module")
def walked(tmp_path_factory: pytest.TempPathFactory) -> Works:
    """A shop with two batches under way, to be copied."""
    folder = tmp_path_factory.mktemp("walked")
    works = Works(write_shop(folder / "shop"), folder / "keys").hire()
    for _ in range(2):
        works.follow_to(works.open(), "enter")
    works.floor.close()
    return works


@pytest.fixture
def works(walked: Works, tmp_path: Path) -> Works:
    """That shop, this test's own."""
    shutil.copytree(walked.folder, tmp_path / "shop")
    return Works(tmp_path / "shop", walked.keys, walked.now, dict(walked.people))


def forget_batches(works: Works) -> None:
    """The shop's journal as it stood before any batch."""
    journal = works.logs / "shop.jsonl"
    lines = journal.read_bytes().splitlines(keepends=True)
    journal.write_bytes(b"".join(line for line in lines if b'"kind":"batch-opened"' not in line))


def adopt(works: Works) -> tuple[str, ...]:
    """Adopt what is orphaned."""
    with ShopJournal.open(works.logs, works.now) as shop:
        return adopt_orphans(shop, works.logs, works.people["otto"], works.now)


def test_a_shop_in_order_has_none(works: Works) -> None:
    """And gets no line."""
    before = (works.logs / "shop.jsonl").read_bytes()
    assert adopt(works) == ()
    assert (works.logs / "shop.jsonl").read_bytes() == before


def test_each_is_named_with_its_own_first_line(works: Works) -> None:
    """In the order of their numbers, once; the journal proves with them."""
    forget_batches(works)
    assert adopt(works) == ("2026-0001", "2026-0002")
    assert adopt(works) == ()
    shop = read_shop(works.logs)
    for name, batch in shop.batches.items():
        first = works.journal(name).read_bytes().splitlines(keepends=True)[0]
        assert batch.first == line_hash(first)


def test_the_later_pins_the_last_line_of_the_earlier(works: Works) -> None:
    """So that a tail cut off it afterwards shows."""
    forget_batches(works)
    adopt(works)
    last = works.journal("2026-0001").read_bytes().splitlines(keepends=True)[-1]
    assert line_hash(last) in read_shop(works.logs).batches["2026-0001"].seen


def test_what_is_no_batch_is_left_alone(works: Works) -> None:
    """Other names, empty folders, links, first lines that are none, files."""
    forget_batches(works)
    good = works.logs / "2026-0001"
    shutil.copytree(good, works.logs / "copy of 2026-0001")
    (works.logs / "2026-0009").mkdir()
    (works.logs / "2026-0008").symlink_to(good)
    (works.logs / "2026-0007").write_text("no folder", encoding="ascii")
    (works.logs / "2026-0006").mkdir()
    (works.logs / "2026-0006" / "journal.jsonl").write_bytes(b"no line\n")
    (works.logs / "2026-0005").mkdir()
    (works.logs / "2026-0005" / "journal.jsonl").write_bytes(b'{"seq":1')
    (works.logs / "practice").mkdir()
    assert adopt(works) == ("2026-0001", "2026-0002")


def test_last_hashes_are_of_whole_lines_and_empty_where_nothing_can_be_read(works: Works) -> None:
    """A torn tail does not count; a journal that is away gives no hash, and keeps nobody from working."""
    shop = read_shop(works.logs)
    whole = last_hashes(shop, works.logs)
    with works.journal("2026-0001").open("ab") as journal:
        journal.write(b'{"seq":9')
    works.journal("2026-0002").unlink()
    assert last_hashes(shop, works.logs) == {"2026-0001": whole["2026-0001"], "2026-0002": ""}
    assert works.open() == "2026-0003"
