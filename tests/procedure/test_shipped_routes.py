"""The routes that ship: each says why, and reads in both systems of units."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from runner.procedure.reading import load_procedure
from runner.shop.finding import procedure_files
from runner.shop.reading import load_shop
from support.cli import call

ROOT = Path(__file__).resolve().parents[2]
SHOP = load_shop(ROOT)
FILES = procedure_files(ROOT)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_step_says_why(file: Path) -> None:
    """No step of a route, taken in from a part or its own, goes without its reason."""
    assert not [step.name for step in load_procedure(file, SHOP).steps if not (step.why or "").strip()]


def test_the_library_has_routes_in_both_systems_of_units() -> None:
    """Some are written in SI units and some in those of the United States; both are what shops work by."""
    us = [file.name for file in FILES if re.search(r'"[0-9. ]+(mil|A/ft2|A/ft²|°F|F)"', file.read_text())]
    assert us
    assert set(us) < {file.name for file in FILES}


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_shop_on_us_units_plans_every_route_in_them(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same shop told to work in US units shows no figure of the other system in its plans."""
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures")
    told = tmp_path / "procedures" / "shop.toml"
    text = told.read_text()
    told.write_text(
        re.sub(r'^units = "SI"\n', "", text, flags=re.MULTILINE).replace(
            "format = 1\n", 'format = 1\nunits = "US"\n', 1
        )
    )
    mine = tmp_path / "procedures" / file.name
    shown = call(capsys, "plan", str(mine), "--area", "0.2 ft2", "--pieces", "1").out
    assert "ft²" in shown
    assert "µm" not in shown
    assert "dm²" not in shown
    assert "°C" not in shown
