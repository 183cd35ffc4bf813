"""How long records are kept, and which are due to go."""

from __future__ import annotations

import pytest

from runner.batch.moment import from_rfc3339, rfc3339
from runner.faults import InputFault
from runner.record.archive_delete import due, kept_until_ms
from runner.record.shop_reading import read_shop
from runner.record.shop_state import ShopBatch
from runner.shop.reading import parse_shop
from support.floors import SHOP
from support.kept import BATCH, LATER, Kept


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
