"""From an empty shop to a proved record, by keys alone."""

from __future__ import annotations

from pathlib import Path

from runner.record.verify import verify
from support.floors import PIN
from support.screen import Stage, stage


async def _owner(s: Stage) -> None:
    """Make the owner at the first start."""
    await s.sees("first start")
    for text in ("olive", "Olive Demo", PIN, PIN):
        await s.type(text)
        await s.press("enter")
    await s.sees("Write it down on paper: it proves all records.")


async def _opened(s: Stage) -> None:
    """Choose the only procedure and book two pieces in."""
    await s.press("o")
    await s.sees("which procedure?", "Dip and nickel")
    await s.press("1")
    await s.book()
    await s.sees("The plan: stirrup irons ×2", "Nickel", "40 A")
    await s.sees("override, then open")
    await s.press("space")
    await s.sees("Why is the route walked against this rule?")
    await s.type("a trial piece")
    await s.press("enter")
    await s.sees("Override plated-on-soil")
    await s.pin("olive")
    await s.sees("Open the batch")
    await s.pin("olive")
    await s.sees("batch 2026-0001", "step 1 of 3")


async def _walked(s: Stage, batch: str) -> None:
    """Follow what the screen says, to the released record."""
    presses = 0
    while batch in s.app.floor._holds:
        presses += 1
        assert presses < 60, s.text()
        text = s.text()
        if "another person" in text:
            await s.pin("olive")
            await s.until(lambda: "another person" not in s.text(), "the PIN was taken")
        elif "it is so" in text:
            await s.press(s.row_with("it is so").split()[1].strip("│ "))
        elif "enter: keep it" in text and "pieces" not in text:
            await s.type("asked and answered")
            await s.press("enter")
        elif "How many pieces are good?" in text:
            await s.press("2", "enter")
        elif "READ AND ANSWER" in text:
            await s.type("40")
            await s.press("enter")
        elif "LOOK AND ANSWER" in text:
            await s.press("1")
        elif "LEAVE IT IN" in text:
            await s.wait(30 if "NICKEL" in text else 5)
        else:
            await s.press("space")


async def test_an_empty_shop_comes_to_a_proved_record_by_keys_alone(tmp_path: Path) -> None:
    """First start, owner, booking, plan, walk, hold point, release, record, proof: no other tool."""
    async with stage(tmp_path, staff=False) as s:
        await _owner(s)
        await _opened(s)
        await _walked(s, "2026-0001")
        await s.sees("No batch is open")
        await s.press("r")
        await s.sees("Records", "2026-0001", "released")
        await s.press("p")
        await s.sees("✓ 2026-0001")
    assert verify(tmp_path / "shop" / "logs" / "2026-0001").ok


async def test_the_first_start_refuses_two_pins_that_differ_and_names_that_cannot_be(tmp_path: Path) -> None:
    """Nothing is made of a form with a fault in it; the page says what to do and keeps what was typed."""
    async with stage(tmp_path, staff=False) as s:
        for text in ("Olive Demo!", "Olive Demo", PIN, "271828"):
            await s.type(text)
            await s.press("enter")
        await s.sees("the two PINs differ")
        for _ in range(2):
            await s.type(PIN)
            await s.press("enter")
        await s.sees("Olive Demo!", "use small letters, digits", "and hyphens")
        assert not s.floor.roll.people()


async def test_the_first_start_can_wait(tmp_path: Path) -> None:
    """Somebody may look around first; opening a batch then says that nobody can sign."""
    async with stage(tmp_path, staff=False) as s:
        await s.press("escape")
        await s.sees("No batch is open")
