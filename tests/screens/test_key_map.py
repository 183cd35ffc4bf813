"""Keys that a shop gives otherwise: what is read, what is refused, and what the screens then say and do."""

from __future__ import annotations

import importlib
import pkgutil
from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding
from textual.screen import Screen

import runner.screens
from runner.faults import InputFault
from runner.screens.app import TankwalkApp
from runner.screens.keys import named
from runner.shop.heading import heading
from runner.shop.key_map import ACTIONS, CAPS
from runner.shop.reading import load_shop, parse_shop
from support.floors import SHOP, write_shop
from support.screen import NOW, stage
from support.sheets import NICKEL, RACK, sheet

SWAPPED = (
    SHOP
    + """
[keys.walk]
note = "m"
fact = "F5"
trouble = "n"
go = "+"

[keys.board]
records = "s"
"""
)


def shop_with(folder: Path, text: str) -> Path:
    """A shop's folder with such a file."""
    shop = write_shop(folder / "shop")
    (shop / "procedures" / "shop.toml").write_text(text, encoding="utf-8")
    return shop


def below(kind: type[Screen[Any]]) -> list[type[Screen[Any]]]:
    """Every screen made of one, and of those."""
    made = kind.__subclasses__()
    return [*made, *(one for screen in made for one in below(screen))]


def bound() -> dict[str, set[str]]:
    """Every key of a screen or the app that can be given away, by its name in the table."""
    for module in pkgutil.iter_modules(runner.screens.__path__):
        importlib.import_module(f"runner.screens.{module.name}")
    found: dict[str, set[str]] = {}
    screens = [one for one in below(Screen) if one.__module__.startswith("runner.screens")]
    for binding in (*TankwalkApp.BINDINGS, *(one for screen in screens for one in screen.BINDINGS)):
        if isinstance(binding, Binding) and binding.id:
            found.setdefault(binding.id, set()).add(binding.key)
    return found


def test_the_table_names_the_keys_that_are_bound() -> None:
    """Each action of the table is a binding with that key at first, and none is bound that it lacks."""
    assert bound() == {action: {named(cap)} for action, cap in CAPS.items()}


@pytest.mark.parametrize("screen", ACTIONS)
def test_no_two_actions_of_a_screen_begin_with_one_key(screen: str) -> None:
    """Those that work everywhere count with each screen."""
    keys = [*ACTIONS[screen].values(), *(ACTIONS["everywhere"].values() if screen != "everywhere" else ())]
    assert len(keys) == len(set(keys))


def test_short_and_whole_reading_agree_about_keys(tmp_path: Path) -> None:
    """The board reads them before any validation is loaded."""
    shop = shop_with(tmp_path, SWAPPED)
    assert heading(shop).keys == load_shop(shop).keys
    assert heading(shop).keys["walk.note"] == "m"


@pytest.mark.parametrize(
    ("lines", "line", "words"),
    [
        ("[keys.walk]\nnote = 'f'", 2, 'the key "f" would do two things: walk.note and walk.fact'),
        ("[keys.walk]\nnote = 'm'\ntrouble = 'm'", 3, "walk.trouble and walk.note"),
        ("[keys.walk]\nnote = 'F2'", 2, "walk.note and everywhere.colours"),
        ("[keys.everywhere]\nbig = 'o'", 2, "board.open and everywhere.big"),
        ("[keys.walk]\ngo = 'enter'", 2, "is no key that can be given"),
        ("[keys.walk]\ngo = 'escape'", 2, "is no key that can be given"),
        ("[keys.walk]\ngo = '1'", 2, "is no key that can be given"),
        ("[keys.walk]\ngo = '?'", 2, "is no key that can be given"),
        ("[keys.walk]\ngo = 'ctrl+g'", 2, "is no key that can be given"),
        ("[keys.walk]\ngo = 3", 2, "is no key that can be given"),
        ("[keys.walk]\nfly = 'm'", 2, "no key of walk does that; use one of: go, fact, note"),
        ("[keys.pin]\ndigit = 'm'", 1, "there is no such screen; use one of: everywhere, board, walk"),
        ("keys = 3", None, "no table"),
        ("[keys]\nwalk = 'm'", 2, "no table"),
    ],
)
def test_what_cannot_be_given_is_refused_with_its_line(
    tmp_path: Path, lines: str, line: int | None, words: str
) -> None:
    """Two actions on one key, digits, enter, escape, help, what is no key or no action; both readings."""
    text = f"{SHOP}\n{lines}\n" if line else SHOP.replace("[rectifier.R1]", f"{lines}\n[rectifier.R1]", 1)
    with pytest.raises(InputFault) as wrong:
        parse_shop(text)
    told = [one for one in wrong.value.faults if words in str(one)]
    assert [one.line for one in told][:1] == [SHOP.count("\n") + 1 + line if line else 4], wrong.value
    with pytest.raises(InputFault) as short:
        heading(shop_with(tmp_path, text))
    assert [one.message for one in short.value.faults] == [one.message for one in wrong.value.faults]


def test_two_keys_can_be_swapped() -> None:
    """A clash is asked of the keys as they end up, not one after another."""
    shop = parse_shop(SHOP + "\n[keys.walk]\nnote = 't'\ntrouble = 'n'\n")
    assert shop.keys == {"walk.note": "t", "walk.trouble": "n"}


async def test_the_screens_do_and_say_what_the_shops_keys_are(tmp_path: Path) -> None:
    """Foot, help and sentences name the new keys; the new key acts, the old one does nothing."""
    shop_with(tmp_path, SWAPPED)
    async with stage(tmp_path) as s:
        assert " s  records" in s.rows()[-1]
        await s.press("s")
        await s.sees("Records")
        await s.press("b")
        await s.sees("No batch is open")
        batch = await s.open(sheet(NICKEL, RACK))
        s.app.to_walk(batch)
        await s.sees("NEXT")
        assert s.rows()[-1].startswith(" +  answer   F5  it is in now   m  note   n  trouble")
        await s.press("f")
        assert s.state(batch).runs == ()
        await s.press("f5")
        assert len(s.state(batch).runs) == 1
        await s.press("n")
        await s.sees("What is wrong?")
        await s.press("escape")
        await s.press("m")
        await s.sees("Note")
        await s.type("m n f t")
        await s.press("enter")
        await s.until(lambda: bool(s.state(batch).notes), "it was noted")
        assert s.state(batch).notes[0].text == "m n f t"
        await s.press("question_mark")
        await s.sees("  F5     the rack is out already", "   m     write a remark")
        await s.press("escape")
        await s.type("40")
        await s.press("+")
        assert s.state(batch).runs[-1].readings[-1].amps == 40.0
        assert "SAY WHY" in s.rows()[NOW]
        await s.press("+")
        await s.sees("Why? ")


async def test_an_action_key_that_was_given_is_still_passed_over_when_pressed_twice(tmp_path: Path) -> None:
    """The guard against a gloved hand's second press knows the action, not the cap."""
    shop_with(tmp_path, SWAPPED)
    async with stage(tmp_path) as s:
        batch = await s.open(sheet(RACK, NICKEL))
        s.app.to_walk(batch)
        await s.sees("NEXT")
        await s.press("+", "+", each_s=0.2)
        assert len(s.state(batch).runs) == 1
        assert s.state(batch).runs[-1].left is None
