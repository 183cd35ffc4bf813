"""A rehearsal from the command line: where it says that its record lies, and what it refuses."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from support.cli import call, small_folder

ONE = ("--area", "1 dm2", "--pieces", "1")


def test_the_json_names_every_file_and_who_signed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """All four lie in one folder of practice, and are there."""
    file = small_folder(tmp_path / "s")
    ran = call(capsys, "rehearse", str(file), *ONE, "--json")
    assert (ran.status, ran.err) == (0, "")
    made = ran.json()
    assert list(made) == ["record", "signature", "journal", "signer", "allowed_signers", "namespace"]
    assert made["namespace"] == "practice-record@tankwalk"
    assert made["signer"].startswith("practice-")
    files = {name: Path(made[name]) for name in ("record", "signature", "journal", "allowed_signers")}
    assert {name: path.name for name, path in files.items()} == {
        "record": "record.toml",
        "signature": "record.toml.sig",
        "journal": "journal.jsonl",
        "allowed_signers": "allowed_signers",
    }
    assert all(path.is_file() for path in files.values())
    (folder,) = {path.parent for path in files.values()}
    assert folder.parent == tmp_path / "s" / "logs" / "practice"


def test_without_json_it_says_where_and_how_to_prove_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two lines."""
    ran = call(capsys, "rehearse", str(small_folder(tmp_path / "s")), *ONE)
    record, prove = ran.out.splitlines()
    assert record.startswith("rehearsed: ")
    assert record.endswith("record.toml")
    assert "tankwalk verify " in prove


def test_what_is_known_of_the_parts_stands_in_its_record(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As in production."""
    said = ("--strength", "1250 MPa", "--hollow", "no", "--blind", "yes")
    made = call(capsys, "rehearse", str(small_folder(tmp_path / "s")), *ONE, *said, "--json").json()
    parts = tomllib.loads(Path(made["record"]).read_text(encoding="utf-8"))["parts"]
    assert (parts["strength_mpa"], parts["closed_hollows"], parts["blind_holes"]) == (1250, "no", "yes")


def test_a_load_that_cannot_run_is_not_rehearsed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """400 A of a rectifier of 300 A: the step and the reason, and nothing of practice is left behind."""
    file = small_folder(tmp_path / "s")
    errors = call(capsys, "rehearse", str(file), "--area", "100 dm2", "--pieces", "1", "--json").errors()
    assert [error["message"].split(":")[0] for error in errors] == ["step 6"]
    assert not (tmp_path / "s" / "logs").exists()


def test_logs_that_cannot_be_written_are_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file stands where the folder of logs should be."""
    file = small_folder(tmp_path / "s")
    (tmp_path / "s" / "logs").write_text("mine", encoding="utf-8")
    (error,) = call(capsys, "rehearse", str(file), *ONE, "--json").errors()
    assert str(error["file"]).startswith(str(tmp_path / "s" / "logs"))
    assert (tmp_path / "s" / "logs").read_text(encoding="utf-8") == "mine"
