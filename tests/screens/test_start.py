"""What a board needs before it is up, and what it does not."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from runner.cli.example import example_files
from runner.faults import InputFault
from runner.shop.heading import heading
from runner.shop.reading import load_shop
from support.floors import SHOP, write_shop
from support.screen import stage


def test_the_app_loads_no_validation_library() -> None:
    """It is wanted when a batch is opened; a board that waits for it keeps a rack waiting."""
    code = "import sys, runner.cli.app, runner.screens.app; print('pydantic' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


@pytest.mark.parametrize("limits", ["", '\n[limits]\nlock_after = "5 min"\n'], ids=["unsaid", "said"])
def test_the_heading_is_what_the_whole_file_says(tmp_path: Path, limits: str) -> None:
    """The short cut and the full reading agree."""
    shop = write_shop(tmp_path / "shop")
    (shop / "procedures" / "shop.toml").write_text(SHOP + limits, encoding="utf-8")
    whole = load_shop(shop)
    assert (heading(shop).title, heading(shop).lock_after_s) == (whole.title, whole.limits.lock_after_s)


def test_the_heading_of_the_example_is_read_the_short_way(tmp_path: Path) -> None:
    """The demo's own file is plain."""
    shutil.copytree(example_files(), tmp_path / "procedures")
    assert heading(tmp_path).title == load_shop(tmp_path).title


@pytest.mark.parametrize(
    "text",
    [
        "title = 3",
        'format = 1\ntitle = "a\\u001bb"',
        'format = 2\ntitle = "x"',
        SHOP + '[limits]\nlock_after = "soon"',
        'big_print = "yes"\n' + SHOP,
        SHOP + "[limits]\nlock_after = 5",
        "[[",
    ],
)
def test_an_odd_heading_is_told_as_the_whole_file_tells_it(tmp_path: Path, text: str) -> None:
    """The same faults, by the same lines."""
    shop = write_shop(tmp_path / "shop")
    (shop / "procedures" / "shop.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputFault) as short:
        heading(shop)
    with pytest.raises(InputFault) as whole:
        load_shop(shop)
    assert short.value.faults == whole.value.faults


async def test_the_first_fault_is_the_one_reported(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What follows from a fault of our own does not hide it in the crash report."""
    async with stage(tmp_path) as s:
        with monkeypatch.context() as patched:
            patched.setattr(s.app, "exit", lambda **_: None)
            s.app._handle_exception(LookupError("the first"))
            s.app._handle_exception(LookupError("its consequence"))
        assert s.app.crash is not None
        assert "the first" in s.app.crash
        assert "its consequence" not in s.app.crash
        s.app.crash = None
