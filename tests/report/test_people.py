"""Who signed, settled, overrode and noted what, on the report of a batch."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.batch import intents as do
from runner.record.floor import Floor
from runner.record.keys import Keys
from support.batches import later
from support.journals import moment
from support.pages import Printed
from support.records import day, record_of
from support.works import ENDED, OPEN, Works


@pytest.mark.parametrize("name", ENDED)
def test_every_signature_of_the_record_stands_with_name_role_time_and_meaning(
    sound: Works, printed: Printed, name: str
) -> None:
    """21 CFR 11.50: the printed name, the date and time, and the meaning, in every printout."""
    page, record = printed(sound.batch(name)), record_of(sound.batch(name))
    given = [record["opened"], record["ended"]]
    given += [one for step in record["step"] for one in step.get("signature", [])]
    given += [one["settled"] for one in record["deviation"]]
    rows = [row for row in page.rows if len(row) == 5 and row[4].isdigit()]
    for one in given:
        found = [r for r in rows if r[:3] == [f"{one['name']} ({one['id']})", one["role"], day(one["at"])]]
        assert found, one
        assert found[0][3]
        assert one["key"] in page.text


def test_a_deviation_stands_apart_with_all_that_became_of_it(messy: Path, printed: Printed) -> None:
    """What, detail, when, reason, disposition, and who settled it with role and time."""
    page = printed(messy)
    deviations = record_of(messy)["deviation"]
    assert len(deviations) == 5
    for one in deviations:
        assert one["detail"] in page.text
        settled = one["settled"]
        assert (
            f"reason {one['reason']} disposition {one['disposition']} settled by "
            f"{settled['name']}, {settled['role']}, {day(settled['at'])}"
        ) in page.text


def test_one_that_nobody_settled_says_so(works: Works, tmp_path: Path, printed: Printed) -> None:
    """In capitals, where the disposition would stand."""
    floor = Floor(works.folder, Keys(tmp_path / "none", rounds=1))
    now = later(moment(), 100_000)
    assert floor.take(OPEN, now) is None
    floor.use(OPEN, works.people["otto"])
    floor.act(OPEN, do.Report("a drip over the nickel"), now)
    floor.close()
    page = printed(works.batch(OPEN))
    assert "reason NO REASON GIVEN disposition NOT SETTLED" in page.text


def test_what_the_rules_had_against_the_route_stands_with_who_took_it_on(
    messy: Path, printed: Printed
) -> None:
    """By name, role, time and reason; what bars nothing is noted."""
    page = printed(messy)
    bars = page.row("1. step 1", "spoil")
    assert bars[2] == "no rinse between dip and nickel (no-rinse)"
    assert bars[3] == (
        "overridden by Cleo Invented, chargehand, 2026-01-01 10:01:00: the rinse is a spray over the dip"
    )
    assert page.row("2. the route", "advice")[3] == "noted"
    assert ["overrode finding 1 against the route"] in [row[3:4] for row in page.rows]


def test_notes_stand_with_who_and_when(messy: Path, printed: Printed) -> None:
    """Each with the step that it was made in."""
    row = printed(messy).row("2", "2026-01-01 10:15:32")
    assert row[2:] == ["Otto Invented", "fuse replaced"]
