"""Proving and listing from the command line: the shapes that scripts rely on, and paths that are none."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.cli import call, raw_controls
from support.floors import Works, write_shop


@pytest.fixture(scope="module")
def works(tmp_path_factory: pytest.TempPathFactory) -> Works:
    """A shop with one batch released and one open."""
    folder = tmp_path_factory.mktemp("works")
    works = Works(write_shop(folder / "shop"), folder / "keys").hire()
    works.follow_to(works.open(), "release")
    works.follow_to(works.open(), "enter")
    works.floor.close()
    return works


def fingerprint(works: Works, who: str) -> str:
    """Of somebody's key."""
    return works.people[who].key.fingerprint


def test_a_sealed_batch_proves_against_the_owner_on_paper(
    works: Works, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 0; `ok`, `trust` and `findings`, which is empty."""
    ran = call(
        capsys,
        *("verify", str(works.logs / "2026-0001"), "--owner", fingerprint(works, "olive"), "--json"),
    )
    assert (ran.status, ran.err) == (0, "")
    told = ran.json()
    assert (told["ok"], told["trust"], told["findings"]) == (True, "pinned", [])


def test_without_anything_from_outside_the_trust_is_said(
    works: Works, capsys: pytest.CaptureFixture[str]
) -> None:
    """Files that lie beside the records prove damage, not forgery."""
    told = call(capsys, "verify", str(works.logs / "2026-0001"), "--json").json()
    assert (told["ok"], told["trust"]) == (True, "beside the records")


def test_another_owner_is_a_no(works: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 1, with what and where."""
    ran = call(
        capsys, "verify", str(works.logs / "2026-0001"), "--owner", fingerprint(works, "otto"), "--json"
    )
    assert (ran.status, ran.json()["ok"]) == (1, False)
    for found in ran.json()["findings"]:
        assert set(found) == {"what", "where"}
        assert found["what"]
        assert found["where"]


def test_an_open_batch_proves_what_is_there(works: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 0, and it says open."""
    ran = call(capsys, "verify", str(works.logs / "2026-0002"))
    assert ran.status == 0
    assert "open" in ran.out


def test_a_whole_shop_is_proved_at_once(works: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """Every batch of it, by its folder."""
    ran = call(capsys, "verify", str(works.folder))
    assert ran.status == 0
    assert "2026-0001" in ran.out
    assert "2026-0002" in ran.out


def test_a_changed_record_is_a_no_in_words_too(
    works: Works, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A piece more than was released."""
    record = works.logs / "2026-0001" / "record.toml"
    kept = record.read_bytes()
    try:
        record.write_bytes(kept.replace(b"pieces_released = 2", b"pieces_released = 3"))
        assert record.read_bytes() != kept
        ran = call(capsys, "verify", str(record.parent))
    finally:
        record.write_bytes(kept)
    assert ran.status == 1
    assert "\nNO " in ran.out
    assert list(tmp_path.rglob("*.toml")) == []


@pytest.mark.parametrize("name", ["away", "file.txt", "empty", "a\x1b[31m", "\u202e", ""])
def test_what_holds_no_record_is_no_traceback(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 2 with the path, shown harmlessly."""
    (tmp_path / "empty").mkdir()
    (tmp_path / "file.txt").write_text("x", encoding="utf-8")
    ran = call(capsys, "verify", str(tmp_path / name) if name else str(tmp_path / "empty"), "--json")
    assert ran.status == 2
    assert ran.errors()
    assert raw_controls(ran.err + ran.out) == []


@pytest.mark.parametrize(
    "option",
    [("--signers", "away"), ("--owner", "SHA256:short"), ("--owner", "\x1b[31m"), ("--signers", ".")],
)
def test_what_pins_nothing_is_refused(
    option: tuple[str, str], works: Works, capsys: pytest.CaptureFixture[str]
) -> None:
    """A list that is not there or a fingerprint that is none must not pass for trust."""
    ran = call(capsys, "verify", str(works.logs / "2026-0001"), *option, "--json")
    assert ran.status == 2
    assert raw_controls(ran.err + ran.out) == []


def test_records_lists_what_has_ended(works: Works, capsys: pytest.CaptureFixture[str]) -> None:
    """Not what is open; with part, customer, and who ended it."""
    ran = call(capsys, "records", "--shop", str(works.folder), "--json")
    assert ran.status == 0
    (record,) = ran.json()["records"]
    assert record["batch"] == "2026-0001"
    assert record["outcome"] == "released"
    text = call(capsys, "records", "--shop", str(works.folder)).out
    assert "stirrup irons" in text
    assert "2026-0002" not in text


def test_a_new_shop_has_no_records(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An empty list, and a sentence."""
    shop = write_shop(tmp_path / "shop")
    assert call(capsys, "records", "--shop", str(shop), "--json").json() == {"records": []}
    assert "no batch" in call(capsys, "records", "--shop", str(shop)).out


def test_a_rehearsal_made_by_the_command_proves_by_the_command(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """And in production's place it is a no: practice proves nothing about parts."""
    shop = write_shop(tmp_path / "shop")
    route = str(shop / "procedures" / "route.toml")
    made = call(capsys, "rehearse", route, "--area", "5 dm2", "--pieces", "2", "--json").json()
    folder = Path(made["record"]).parent
    assert call(capsys, "verify", str(folder)).status == 0
    moved = folder.rename(shop / "logs" / "2026-0001")
    assert call(capsys, "verify", str(moved)).status == 1
