"""``tankwalk records``: filters, forms, and what hostile text in a record comes to."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from support.cli import Ran, call, raw_controls
from support.mill import Mill

HOSTILE = "\x1b[31m[bold]x[/bold]'; DROP TABLE batches; --"


def records(capsys: pytest.CaptureFixture[str], shop: Path, *args: str) -> Ran:
    """Run it."""
    return call(capsys, "records", "--shop", str(shop), *args)


def names(ran: Ran) -> list[str]:
    """The batches in a JSON answer."""
    return [record["batch"] for record in ran.json()["records"]]


def test_without_a_filter_it_lists_what_ended(mill: Mill, capsys: pytest.CaptureFixture[str]) -> None:
    """With a filter, what is open too."""
    ended = records(capsys, mill.folder, "--json")
    assert {record["outcome"] for record in ended.json()["records"]} == {"released", "abandoned"}
    opened = names(records(capsys, mill.folder, "--open", "--json"))
    assert opened
    everything = names(records(capsys, mill.folder, "--from", "2000-01-01", "--json"))
    assert sorted(everything) == sorted([*names(ended), *opened])
    assert len(everything) == 60


def test_the_keys_that_scripts_rely_on_are_there(mill: Mill, capsys: pytest.CaptureFixture[str]) -> None:
    """Those of the first form of this list, and more."""
    for record in records(capsys, mill.folder, "--json").json()["records"]:
        assert {"batch", "part", "customer", "procedure", "outcome", "ended", "by"} <= set(record)


def test_days_are_whole_and_in_utc(mill: Mill, capsys: pytest.CaptureFixture[str]) -> None:
    """--to holds its day to the end; the same moments as RFC 3339 with a zone give the same list."""
    day = names(records(capsys, mill.folder, "--from", "2026-02-10", "--to", "2026-02-20", "--json"))
    zoned = ("--from", "2026-02-10T02:00:00+02:00", "--to", "2026-02-21T00:00:00Z")
    assert day == names(records(capsys, mill.folder, *zoned, "--json"))
    assert 0 < len(day) < 60


@pytest.mark.parametrize(
    "text",
    ["yesterday", "2026-13-01", "2026-02-10T08:00:00", "", "\x1b[31m", "0001-01-01T00:00:00+23:00", "９"],
)
@pytest.mark.parametrize("option", ["--from", "--to"])
def test_what_is_no_time_is_a_wrong_call(
    mill: Mill, capsys: pytest.CaptureFixture[str], option: str, text: str
) -> None:
    """Exit 2, with what to write."""
    ran = records(capsys, mill.folder, option, text, "--json")
    (error,) = ran.errors()
    assert "2026-03-01" in error["remedy"]
    assert raw_controls(ran.err) == []


def test_the_last_day_of_all_is_no_traceback(mill: Mill, capsys: pytest.CaptureFixture[str]) -> None:
    """The day after it does not exist."""
    assert records(capsys, mill.folder, "--to", "9999-12-31", "--json").status == 2


def test_a_tank_is_told_with_its_stays(mill: Mill, capsys: pytest.CaptureFixture[str]) -> None:
    """Everything that went through it between two times."""
    args = ("--tank", "nickel", "--from", "2026-02-01", "--to", "2026-02-28")
    told = records(capsys, mill.folder, *args, "--json").json()["records"]
    assert told
    assert all(run["tank"] == "nickel" for record in told for run in record["runs"])
    assert all(record["runs"] for record in told)
    assert told[0]["runs"][0]["entered"] in records(capsys, mill.folder, *args).out


def test_deviations_are_told_with_their_reason(mill: Mill, capsys: pytest.CaptureFixture[str]) -> None:
    """Those that hold the word; without a word all of them."""
    some = records(capsys, mill.folder, "--deviation", "hoist", "--json").json()["records"]
    assert {found["reason"] for record in some for found in record["deviations_found"]} == {
        "the hoist stood still"
    }
    every = names(records(capsys, mill.folder, "--deviation", "--json"))
    assert {record["batch"] for record in some} < set(every)
    assert "overstayed" in records(capsys, mill.folder, "--deviation").out


def test_csv_goes_to_a_file_or_to_the_reader(
    mill: Mill, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same rows as JSON, as text that commands no spreadsheet."""
    file = tmp_path / "list.csv"
    assert records(capsys, mill.folder, "--csv", str(file)).status == 0
    text = file.read_bytes().decode("utf-8")
    assert records(capsys, mill.folder, "--csv", "-").out == text
    read = list(csv.DictReader(io.StringIO(text, newline=""), strict=True))
    told = records(capsys, mill.folder, "--json").json()["records"]
    assert [row["batch"] for row in read] == [record["batch"] for record in told]
    for row, record in zip(read, told, strict=True):
        commands = record["part"].startswith("=")
        assert row["part"] == ("'" if commands else "") + record["part"]
    assert any(row["part"] == "'=1+1" for row in read)


@pytest.mark.parametrize(
    "args", [("--csv", "-", "--json"), ("--csv", "/dev/full"), ("--csv", "/nowhere/x.csv")]
)
def test_a_table_that_cannot_be_is_a_wrong_call(
    mill: Mill, capsys: pytest.CaptureFixture[str], args: tuple[str, ...]
) -> None:
    """Two forms at once, a device, a folder that is not there."""
    ran = records(capsys, mill.folder, *args)
    assert ran.status == 2
    assert ran.err


def test_hostile_text_is_only_data(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In a part, in a filter: nothing moves the cursor, nothing is run, and the batch is found by it."""
    made = Mill(tmp_path / "shop")
    made.walk(made.open(part=HOSTILE, customer="@cmd"))
    made.close()
    for form in ((), ("--json",), ("--csv", "-")):
        ran = records(capsys, made.folder, "--part", HOSTILE, *form)
        assert ran.status == 0
        assert "DROP TABLE" in ran.out
        assert raw_controls(ran.out.replace("\r\n", "\n") + ran.err) == []
    assert names(records(capsys, made.folder, "--json")) == ["2026-0001"]


def test_failing_finds_what_does_not_prove(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A changed record, a batch that is away, and nothing else; exit 1. Where all proves, exit 0."""
    sound = records(capsys, shop, "--failing", "--json")
    assert (sound.status, sound.json()) == (0, {"records": [], "findings": []})
    listed = names(records(capsys, shop, "--json"))
    record = shop / "logs" / listed[0] / "record.toml"
    record.write_bytes(record.read_bytes().replace(b"format = 1", b"format = 2"))
    away = shop / "logs" / listed[1]
    away.rename(shop / "taken")
    ran = records(capsys, shop, "--failing", "--json")
    assert ran.status == 1
    assert sorted(names(ran)) == sorted(listed[:2])
    assert all(record["findings"] for record in ran.json()["records"])
    assert "NO " in records(capsys, shop, "--failing").out
    only = records(capsys, shop, "--failing", "--part", "no such part", "--json")
    assert (only.status, names(only)) == (0, [])
