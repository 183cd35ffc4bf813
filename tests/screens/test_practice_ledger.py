"""The end of a practice in a shop with people: it is entered in the route's ledger, or left out."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.batch.state import Phase
from runner.record.ledger import begun
from runner.record.ledger_events import RoutePractised
from runner.record.practice_floor import PRACTICE_PIN
from runner.record.shop_reading import read_shop
from runner.record.verify import verify
from runner.shop.rights import Role
from support.floors import PIN, STAFF
from support.practising import practising, to_its_end
from support.screen import Stage
from support.sheets import FINAL, sheet

PEOPLE: dict[str, tuple[str, Role]] = {**STAFF, "tilda": ("Tilda Demo", "trainee")}


def shop_lines(folder: Path) -> int:
    """How many lines the shop's journal has."""
    return read_shop(folder / "shop" / "logs").lines


async def asked(s: Stage, name: str) -> None:
    """Read the debrief, and choose a name where it is asked who practised."""
    await s.press("space")
    await s.sees("Who practised route.toml?", "practice and never production", "escape: leave it out")
    for _ in PEOPLE:
        if name in s.text():
            break
        await s.press("down")
    await s.sees(name)


@pytest.mark.parametrize(("who", "name"), [("tilda", "Tilda Demo"), ("otto", "Otto Demo")])
async def test_who_practised_enters_it_with_their_pin(tmp_path: Path, who: str, name: str) -> None:
    """One line, signed by themselves, a trainee too; no batch, nobody signed off, and all of it proves."""
    async with practising(tmp_path, sheet(FINAL), staff=PEOPLE) as (app, s):
        before = shop_lines(tmp_path)
        await to_its_end(app, s)
        await asked(s, name)
        await s.type(PIN)
        await s.press("enter")
        await s.until(lambda: app.return_code == 0, "it was entered, and left")
    shop = read_shop(tmp_path / "shop" / "logs")
    assert shop.lines == before + 1
    (told,) = shop.ledger
    assert (told.kind, told.id, told.by) == (RoutePractised.kind, who, who)
    assert (told.file, told.revision) == ("route.toml", "A")
    assert not shop.batches
    assert not begun(shop, "route.toml")
    assert verify(tmp_path / "shop").findings == ()


async def test_escape_leaves_it_out(tmp_path: Path) -> None:
    """The practice is left as it is, and the shop's journal has no line of it."""
    async with practising(tmp_path, sheet(FINAL), staff=PEOPLE) as (app, s):
        before = shop_lines(tmp_path)
        await to_its_end(app, s)
        await asked(s, "Tilda Demo")
        await s.press("escape")
        await s.until(lambda: app.return_code == 0, "it was left")
    assert shop_lines(tmp_path) == before


async def test_the_practice_s_own_pin_signs_nothing_of_the_shop(tmp_path: Path) -> None:
    """The PIN that stands on the screen is nobody's: refused, nothing is written, and it is asked again."""
    async with practising(tmp_path, sheet(FINAL), staff=PEOPLE) as (app, s):
        before = shop_lines(tmp_path)
        await to_its_end(app, s)
        await asked(s, "Tilda Demo")
        await s.type(PRACTICE_PIN)
        await s.press("enter")
        await s.sees("PIN", "leave it out")
        await s.until(lambda: "one moment" not in s.text(), "it was tried")
        assert app.return_code is None
        assert shop_lines(tmp_path) == before
        assert not read_shop(tmp_path / "shop" / "logs").ledger


async def test_what_cannot_be_written_is_said_and_asked_again(tmp_path: Path) -> None:
    """Where the shop's journal was changed meanwhile nothing is added to it, and the debrief stays."""
    async with practising(tmp_path, sheet(FINAL), staff=PEOPLE) as (app, s):
        await to_its_end(app, s)
        journal = tmp_path / "shop" / "logs" / "shop.jsonl"
        changed = journal.read_bytes().replace(b"Olive", b"Olivx", 1)
        journal.write_bytes(changed)
        await asked(s, "Tilda Demo")
        await s.type(PIN)
        await s.press("enter")
        await s.sees("PRACTICE ·", "shop.jsonl")
        assert app.return_code is None
        assert journal.read_bytes() == changed


async def test_a_practice_that_was_broken_off_is_not_asked_about(tmp_path: Path) -> None:
    """To its end is what the ledger tells of: an abandoned one is left without a question."""
    async with practising(tmp_path, sheet(FINAL), staff=PEOPLE) as (app, s):
        before = shop_lines(tmp_path)
        await s.press("x")
        await s.sees("through with it")
        await s.type(app.practice.batch)
        await s.press("enter")
        await s.sees("Why is it abandoned?")
        await s.type("dinner")
        await s.press("enter")
        await s.sees("enter: sign")
        await s.type(PRACTICE_PIN)
        await s.press("enter")
        await s.sees("PRACTICE ·", "no false calls")
        assert app.practice.practised.phase is Phase.ABANDONED
        await s.press("space")
        await s.until(lambda: app.return_code == 0, "it was left")
    assert shop_lines(tmp_path) == before
