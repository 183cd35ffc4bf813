"""``tankwalk check`` and ``tankwalk rules``: exit statuses and the shape of what they print."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
import tomli_w

from runner.cli.main import run
from support.rule_shop import BRASS, STEEL, STRONG, Step, shop_text, without

KEYS = {"rule", "severity", "step", "message", "why", "remedy", "source", "known", "overridable"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A shop's folder with one sound route."""
    (tmp_path / "procedures").mkdir()
    (tmp_path / "procedures" / "shop.toml").write_text(tomli_w.dumps(shop_text()), encoding="utf-8")
    _write(tmp_path, "sound", STEEL)
    return tmp_path


def _write(folder: Path, name: str, steps: list[Step], basis: str = "low-carbon steel", **top: Any) -> Path:
    file = folder / "procedures" / f"{name}.toml"
    document = {"format": 1, "title": name, "basis": [basis], **top, "step": steps}
    file.write_text(tomli_w.dumps(document), encoding="utf-8")
    return file


def _json(capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(capsys.readouterr().out)
    return document


def test_a_sound_route_exits_fine(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing found: status 0 and an empty list."""
    file = folder / "procedures" / "sound.toml"
    assert run(["check", str(file), "--json"]) == 0
    assert _json(capsys) == {"files": [{"file": str(file), "findings": []}]}


def test_a_route_that_spoils_exits_with_no(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each finding has the keys that scripts rely on, the worst first."""
    file = _write(folder, "bad", without(STEEL, 4, 5))
    assert run(["check", str(file), "--json"]) == 1
    findings = _json(capsys)["files"][0]["findings"]
    assert all(set(finding) == KEYS for finding in findings)
    assert findings[0]["severity"] == "spoil"
    assert findings[0]["step"] == 5


def test_a_doubt_alone_exits_fine(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Only danger and ruin are a no."""
    file = _write(folder, "doubt", without(BRASS, 4, 5), "brass")
    assert run(["check", str(file), "--json"]) == 0
    assert {f["severity"] for f in _json(capsys)["files"][0]["findings"]} == {"doubt"}


def test_a_fault_of_form_exits_as_wrong(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The format is held before the rules are asked."""
    file = folder / "procedures" / "broken.toml"
    file.write_text("format = 1\n", encoding="utf-8")
    assert run(["check", str(file)]) == 2
    assert "broken.toml" in capsys.readouterr().err


def test_the_strength_may_be_given(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By the option, as tensile strength or as hardness."""
    file = folder / "procedures" / "sound.toml"
    for strength in ("1500 MPa", "HRC 45", "218 ksi"):
        assert run(["check", str(file), "--strength", strength, "--json"]) == 1
        rules = {f["rule"] for f in _json(capsys)["files"][0]["findings"]}
        assert "no-relief-bake" in rules


def test_what_is_known_of_the_parts_may_be_given(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A closed hollow is a danger, an open part none; with an area what is not said is told as not known."""
    file = str(folder / "procedures" / "sound.toml")

    def rules(*options: str) -> dict[str, bool]:
        run(["check", file, *options, "--json"])
        return {f["rule"]: f["overridable"] for f in _json(capsys)["files"][0]["findings"]}

    assert rules("--hollow", "yes") == {"hollow-part-heated": False}
    assert rules("--hollow", "no", "--blind", "no") == {}
    assert rules("--area", "10 dm2", "--pieces", "4") == {"hollow-not-known": True}
    assert rules("--area", "30 dm2", "--hollow", "no", "--blind", "yes") == {}
    assert "rectifier-and-tank-load" in rules("--area", "300 dm2", "--pieces", "4", "--hollow", "no")


def test_an_answer_that_is_neither_yes_nor_no_is_a_wrong_call(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit status 2, with both answers named."""
    assert run(["check", str(folder / "procedures" / "sound.toml"), "--hollow", "perhaps"]) == 2
    told = capsys.readouterr().err
    assert "--hollow" in told
    assert "yes" in told


def test_the_other_routes_of_the_shop_count(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Brass in the steel's dip is told in the steel's file, and one that cannot be read is named."""
    steps = [{**step, "tank": "sulfuric-dip"} if step.get("tank") == "dip-copper" else step for step in BRASS]
    _write(folder, "brass", steps, "brass")
    (folder / "procedures" / "torn.toml").write_text("format = 1\n", encoding="utf-8")
    assert run(["check", str(folder / "procedures" / "sound.toml")]) == 1
    told = capsys.readouterr().out
    assert "copper-in-the-steel-dip" in told
    assert "torn.toml: not well formed" in told


def test_without_a_file_every_route_is_checked(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In the order of their names."""
    _write(folder, "also", STRONG, "high-carbon steel", strength="1500 MPa")
    assert run(["check", "--shop", str(folder), "--json"]) == 0
    assert [Path(entry["file"]).name for entry in _json(capsys)["files"]] == ["also.toml", "sound.toml"]


def test_explain_tells_the_surface(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As lines, and as a key of its own in JSON."""
    file = str(folder / "procedures" / "sound.toml")
    assert run(["check", file, "--explain"]) == 0
    assert "nickel 20 µm on low-carbon steel; active; clean; wet" in capsys.readouterr().out
    assert run(["check", file, "--explain", "--json"]) == 0
    assert len(_json(capsys)["files"][0]["surface"]) == len(STEEL) + 2


def test_markup_in_a_name_stays_text(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Markup is told as the plain text that it is."""
    steps = [{**step, "name": "[red]x[/red]"} for step in without(STEEL, 4, 5)]
    assert run(["check", str(_write(folder, "named", steps))]) == 1
    assert "step 5 ([red]x[/red]): " in capsys.readouterr().out


def test_the_catalogue_prints(capsys: pytest.CaptureFixture[str]) -> None:
    """As text by what it guards, and as JSON."""
    assert run(["rules"]) == 0
    assert "meets-on-the-part" in capsys.readouterr().out
    assert run(["rules", "--json"]) == 0
    rules = _json(capsys)["rules"]
    assert {"rule", "guards", "severity", "says", "overridable", "source", "known"} == set(rules[0])
    assert not next(rule for rule in rules if rule["rule"] == "silica-in-the-blast")["overridable"]


def test_the_shipped_shop_is_clean(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The demo shop as it is shipped, copied away from the tree."""
    shutil.copytree(Path(__file__).resolve().parents[2] / "procedures", tmp_path / "procedures")
    assert run(["check", "--shop", str(tmp_path), "--json"]) == 0
    assert all(not entry["findings"] for entry in _json(capsys)["files"])
