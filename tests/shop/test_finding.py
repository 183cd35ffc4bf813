"""Which shop a command means, in the order in which it is looked for."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.faults import InputFault
from runner.shop.finding import find_shop, people_file, procedure_files, shop_file


def shop_in(folder: Path) -> Path:
    """A folder that holds a shop."""
    (folder / "procedures").mkdir(parents=True)
    (folder / "procedures" / "shop.toml").write_text("format = 1\n")
    return folder


def test_the_option_goes_before_all(tmp_path: Path) -> None:
    """Whatever else would find a shop."""
    one, two = shop_in(tmp_path / "one"), shop_in(tmp_path / "two")
    assert find_shop(str(one), str(two), two / "procedures" / "a.toml", two) == one
    assert find_shop(Path("../one"), None, None, two) == two / "../one"


def test_the_environment_goes_before_the_file(tmp_path: Path) -> None:
    """An empty variable counts as none."""
    one, two = shop_in(tmp_path / "one"), shop_in(tmp_path / "two")
    file = two / "procedures" / "a.toml"
    assert find_shop(None, str(one), file, tmp_path) == one
    assert find_shop(None, "", file, tmp_path) == two


def test_the_nearest_folder_above_the_file_holds_it(tmp_path: Path) -> None:
    """A shop inside another is meant by the files in it."""
    outer = shop_in(tmp_path / "outer")
    inner = shop_in(outer / "inner")
    assert find_shop(None, None, Path("inner/procedures/parts/a.toml"), outer) == inner
    assert find_shop(None, None, outer / "procedures" / "a.toml", inner) == outer


def test_the_current_folder_comes_last(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no file is named, or none above it holds a shop."""
    here = shop_in(tmp_path / "here")
    elsewhere = tmp_path / "elsewhere" / "a.toml"
    assert find_shop(None, None, elsewhere, here) == here
    monkeypatch.chdir(here)
    assert find_shop(None, None, None) == here


@pytest.mark.parametrize(
    ("option", "environment", "begins"),
    [
        ("none", None, "--shop names 'none', which holds no shop: there is no procedures/shop.toml in it"),
        (None, "none", "TANKWALK_SHOP names 'none', which holds no shop"),
        (None, None, "the folder "),
        ("a\x00b", None, "--shop names 'a<U+0000>b'"),
        ("x" * 5000, None, "--shop names 'xxx"),
        ("", None, "--shop names ''"),
    ],
)
def test_no_shop_says_what_to_do(
    tmp_path: Path, option: str | None, environment: str | None, begins: str
) -> None:
    """A name that leads nowhere is a fault, and never falls back on another shop."""
    with pytest.raises(InputFault) as caught:
        find_shop(option, environment, None, tmp_path)
    (told,) = caught.value.faults
    assert told.message.startswith(begins)
    assert told.remedy == (
        "name a shop's folder with --shop, write one with `tankwalk init DIR`, or try `tankwalk demo`"
    )


def test_procedures_are_all_files_but_shop_and_people(tmp_path: Path) -> None:
    """By name; parts in a folder of their own are no whole procedures."""
    shop = shop_in(tmp_path)
    for name in ("b.toml", "a.toml", "people.toml", "notes.txt"):
        (shop / "procedures" / name).write_text("")
    (shop / "procedures" / "parts").mkdir()
    (shop / "procedures" / "parts" / "c.toml").write_text("")
    assert [path.name for path in procedure_files(shop)] == ["a.toml", "b.toml"]


def test_the_files_of_a_shop_have_fixed_places(tmp_path: Path) -> None:
    """Beside the procedures."""
    assert shop_file(tmp_path) == tmp_path / "procedures" / "shop.toml"
    assert people_file(tmp_path) == tmp_path / "procedures" / "people.toml"
