"""The records screen: what is asked by keys, what is listed, and a record read from it."""

from __future__ import annotations

import csv
import threading
from pathlib import Path

import pytest

from runner.faults import InputFault
from runner.record.addenda import addenda_of
from runner.record.addendum import add
from runner.record.index import page as real
from runner.record.index_query import Wanted
from runner.screens.background import GivenUp, Going
from runner.screens.records import BLOCK, RecordsScreen
from runner.screens.records_asked import Asked
from support.floors import PIN, Works, write_shop
from support.screen import Stage, stage

NOW = "2026-01-01T10:00:00.000Z"


def two_batches(folder: Path) -> Works:
    """One released, one open; the shop and its keys lie where a stage looks for them."""
    works = Works(write_shop(folder / "shop"), folder / "keys").hire()
    first = works.open()
    works.follow_to(first, "release")
    add(works.logs, first, "the customer's count was wrong", works.people["cleo"], works.now)
    works.open()
    works.floor.close()
    return works


async def listed(s: Stage) -> None:
    """The records are on the screen."""
    await s.press("r")
    await s.sees("Records", "1 to ")


async def ask(s: Stage, *typed: str) -> None:
    """Fill the form from the top, and list what fits."""
    await s.press("f")
    await s.sees("Which records?")
    for number, text in enumerate(typed):
        await s.press(*["down"] * (number > 0))
        await s.type(text)
    await s.press("enter")
    await s.until(lambda: "Which records?" not in s.text(), "the form was left")
    await s.until(lambda: isinstance(s.app.screen, RecordsScreen), "the list is up")


async def answered(s: Stage, words: str) -> None:
    """Wait for an answer."""
    await s.wait(1)
    await s.sees(words)


def test_what_is_typed_makes_the_question_of_the_command_line() -> None:
    """Days are of UTC and both whole, times keep their zone, texts stand as they are, * is any deviation."""
    typed = {"since": "2026-03-01", "until": "2026-03-02", "person": "otto", "deviation": "*", "tank": "dip"}
    assert Asked("all", typed).wanted(NOW) == Wanted(
        since="2026-03-01T00:00:00.000Z",
        until="2026-03-03T00:00:00.000Z",
        person="otto",
        deviation="",
        tank="dip",
        now=NOW,
    )
    assert Asked("overdue", {"until": "2026-03-01T14:00+02:00"}).wanted(NOW) == Wanted(
        until="2026-03-01T12:00:00.000Z", overdue=True, now=NOW
    )


@pytest.mark.parametrize("text", ["yesterday", "2026-13-01", "2026-03-01T12:00", "\x1b[31m"])
def test_what_is_no_time_is_said_with_its_field(text: str) -> None:
    """Which field, what is wrong, how it is written."""
    with pytest.raises(InputFault, match=r"^From: .* is no time; write a day"):
        Asked("all", {"since": text}).wanted(NOW)


def test_work_that_nobody_waits_for_ends_at_its_next_step() -> None:
    """A thread cannot be stopped from outside; the app must not wait for it when it is left."""
    going = Going("proving")
    going(3, 10)
    assert going.words == "proving 3 of 10"
    going.give_up()
    with pytest.raises(GivenUp):
        going(4, 10)


async def test_each_filter_is_asked_by_keys_alone(tmp_path: Path) -> None:
    """Ended at first; then open, overdue, all; a part that fits and one that does not; c clears."""
    two_batches(tmp_path)
    async with stage(tmp_path) as s:
        await listed(s)
        await answered(s, "1 to 1 of 1")
        assert "released" in s.row_with("2026-0001")
        await s.press("s")
        await answered(s, "2026-0002")
        assert not s.row_with("2026-0001")
        await s.press("s", "s")
        await answered(s, "1 to 2 of 2")
        await ask(s, "", "", "", "STIRRUP")
        await answered(s, "1 to 2 of 2")
        assert "part STIRRUP" in s.rows()[1]
        await ask(s, "", "", "", " and horse")
        await answered(s, "No batch that fits")
        await s.press("c")
        await answered(s, "1 to 1 of 1")


async def test_a_field_that_is_no_time_keeps_the_form_open(tmp_path: Path) -> None:
    """The fault stands under the fields, and nothing typed is lost."""
    two_batches(tmp_path)
    async with stage(tmp_path) as s:
        await listed(s)
        await s.press("f")
        await s.type("soon")
        await s.press("enter")
        await s.sees("'soon' is no time", "write a day")
        await s.press("escape")
        await s.sees("1 to 1 of 1")


async def test_a_record_is_read_from_the_list(tmp_path: Path) -> None:
    """Plan against actual, the deviations, who signed what and when by printed name, and the addendum."""
    two_batches(tmp_path)
    async with stage(tmp_path, size=(80, 200)) as s:
        await listed(s)
        await s.press("enter")
        await s.sees("Record of batch 2026-0001", "PLAN AGAINST ACTUAL", "RELEASED")
        await s.sees("planned", "actual", "dwell", "Rectifier current")
        assert "Cleo Demo, chargehand: released the batch" in s.text()
        assert "Cleo Demo, chargehand: signed step 3 as" in s.text()
        assert "Otto Demo, operator: opened the batch" in s.text()
        assert "1  the customer's count was wrong" in s.text()
        await s.press("escape")
        await s.sees("1 to 1 of 1")


async def test_keys_go_to_the_parts_of_a_long_record(tmp_path: Path) -> None:
    """At 80 by 24 s shows the signatures, d the deviations, without scrolling."""
    two_batches(tmp_path)
    async with stage(tmp_path) as s:
        await listed(s)
        await s.press("enter")
        await s.sees("RELEASED")
        assert "SIGNATURES" not in s.text()
        await s.press("s")
        await s.sees("SIGNATURES", "released the batch")
        await s.press("d")
        await s.sees("DEVIATIONS")


async def test_what_does_not_prove_is_found_and_kept(tmp_path: Path) -> None:
    """A changed record stands alone in the list after x; the reason comes with p."""
    works = two_batches(tmp_path)
    record = works.logs / "2026-0001" / "record.toml"
    async with stage(tmp_path) as s:
        await listed(s)
        await s.press("x")
        await answered(s, "each of 1 proves")
        record.write_bytes(record.read_bytes().replace(b"C-1", b"C-2"))
        await s.press("c")
        await answered(s, "1 to 1 of 1")
        await s.press("x")
        await answered(s, "that do not prove")
        await s.until(lambda: "2026-0001" in s.text() and "proves" not in s.text(), "it stands there")
        await s.press("p")
        await s.sees("! 2026-0001", "record.toml")


async def test_the_list_is_written_as_csv_to_a_new_file_only(tmp_path: Path) -> None:
    """The same table as the command's; never over a file, never among the records."""
    works = two_batches(tmp_path)
    async with stage(tmp_path, size=(200, 24)) as s:
        await listed(s)
        for name, said in (
            (str(tmp_path / "list.csv"), "1 batches written"),
            (str(works.logs / "list.csv"), "nothing is written among the records"),
            (str(works.folder / "procedures" / "shop.toml"), "is there already"),
        ):
            await s.press("w")
            await s.sees("to which new file?")
            await s.type(name)
            await s.press("enter")
            await s.sees(said)
    with (tmp_path / "list.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["batch"], row["outcome"]) for row in rows] == [("2026-0001", "released")]


async def test_thousands_are_listed_by_the_block(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Only a block is fetched at a time, the bar goes to the last row, and the screen is up before any."""
    shop = write_shop(tmp_path / "shop")
    count = 2 * BLOCK + 50
    for number in range(1, count + 1):
        (shop / "logs" / f"2026-{number:04d}").mkdir()
        (shop / "logs" / f"2026-{number:04d}" / "journal.jsonl").write_text("no journal\n", encoding="utf-8")
    fetched = []

    def page(logs: Path, wanted: Wanted, first: int, most: int, told: Going) -> object:
        fetched.append((first, most))
        return real(logs, wanted, first, most, told)

    monkeypatch.setattr("runner.screens.records.page", page)
    async with stage(tmp_path) as s:
        await s.press("r")
        await s.sees(f"1 to 19 of {count}")
        assert "2026-0450" in s.rows()[4]
        assert all(len(row) <= 80 for row in s.rows())
        for _ in range(count // 10):
            await s.press("right")
            await s.drawn()
        await s.until(lambda: "2026-0001" in s.text(), "the oldest was reached")
        assert "▸2026-0001" in s.text()
    assert {first for first, _ in fetched} == {0, BLOCK, 2 * BLOCK}
    assert {most for _, most in fetched} == {BLOCK}


async def test_leaving_while_journals_are_read_ends_the_reading(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The progress stands in the title, keys work, and no thread goes on for a list that was left."""
    ended = threading.Event()
    begun = threading.Event()

    def page(_logs: Path, _wanted: Wanted, _first: int, _most: int, told: Going) -> object:
        try:
            while True:
                told(7, 10_000)
                begun.set()
        finally:
            ended.set()

    monkeypatch.setattr("runner.screens.records.page", page)
    async with stage(tmp_path) as s:
        await s.press("r")
        await s.until(begun.is_set, "the reading began")
        await s.wait(1)
        await s.sees("reading journals 7 of 10000")
        await s.press("b")
        await s.sees("No batch is open")
        await s.until(ended.is_set, "the reading ended")


@pytest.mark.parametrize("content", ["no toml [", "", 'text = "x"', 'text = "x"\nby = 3', "\udcff"])
def test_an_addendum_that_cannot_be_read_says_so(tmp_path: Path, content: str) -> None:
    """It is listed by its number; nothing is guessed from it."""
    (tmp_path / "addendum-1.toml").write_bytes(content.encode("utf-8", "surrogateescape"))
    assert [(one.number, one.text, one.problem) for one in addenda_of(tmp_path)] == [
        (1, "", "it cannot be read")
    ]


async def test_an_auditor_reads_and_signs_nothing(tmp_path: Path) -> None:
    """No PIN is asked for reading; where one is asked, an auditor is not among those who may."""
    works = two_batches(tmp_path)
    works.floor = works.terminal()
    works.floor.roll.add("ada", "Ada Demo", "auditor", PIN, works.people["olive"], works.now)
    works.floor.close()
    async with stage(tmp_path) as s:
        await listed(s)
        await s.press("enter")
        await s.sees("RELEASED")
        await s.press("escape")
        await s.sees("1 to 1 of 1")
        await s.press("b")
        await s.press("1")
        await s.sees("Take batch 2026-0002 in hand")
        seen = set()
        for _ in range(6):
            seen.add(next(row for row in s.rows() if " of 3)" in row).split(",")[0].strip(" │"))
            await s.press("down")
        assert seen == {"Olive Demo", "Otto Demo", "Cleo Demo"}
