"""The screens of the app, each in a state worth looking at: for pictures and for painted colours."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from support.floors import PIN
from support.screen import Stage
from support.sheets import CHROMIUM, DIP, FINAL, NICKEL, RACK, RINSE, sheet


async def board(s: Stage) -> None:
    """Three racks: one over its time, one out of a tank, one waiting."""
    for steps, part in (((DIP, RINSE, FINAL), "pole sleeves"), ((RACK, FINAL), "rosettes")):
        batch = await s.open(sheet(*steps), part=part)
        if part == "pole sleeves":
            s.app.to_walk(batch)
            await s.sees("space")
            await s.press("space", "1", "space")
            await s.wait(31)
            await s.press("space", "1", "b")
    await walk_dwell(s)
    await s.press("b")
    await s.sees("3 open batches")


async def walk_before(s: Stage) -> None:
    """Nothing done yet."""
    await s.walk()


async def walk_choice(s: Stage) -> None:
    """A question with choices."""
    await s.walk()
    await s.press("space")


async def walk_value(s: Stage) -> None:
    """A value half typed."""
    await s.walk(sheet(NICKEL, CHROMIUM, FINAL))
    await s.type("4.")


async def walk_dwell(s: Stage) -> None:
    """In the nickel tank, current read, time running."""
    await s.walk(sheet(NICKEL, RINSE, CHROMIUM, FINAL))
    await s.type("4")
    await s.press("enter", "space", "1", "2", "3", "space")
    await s.type("40")
    await s.press("enter", "space", "1")
    await s.wait(600)


async def walk_up(s: Stage) -> None:
    """Its time is up."""
    await walk_dwell(s)
    await s.wait(1202)


async def walk_out(s: Stage) -> None:
    """Dripping on its way to the rinse."""
    await walk_up(s)
    await s.press("space", "space")
    await s.wait(9)


async def walk_late(s: Stage) -> None:
    """Out for too long."""
    await walk_out(s)
    await s.wait(60)


async def walk_paused(s: Stage) -> None:
    """Interrupted."""
    await walk_dwell(s)
    await s.press("p", "2")
    await s.wait(5)


async def cautions(s: Stage) -> None:
    """Read before chromium."""
    await s.walk(sheet(CHROMIUM, FINAL))
    await s.press("space")
    await s.sees("it is so")


async def pin(s: Stage) -> None:
    """Asked at a hold point."""
    await s.walk(sheet(FINAL))
    await s.press("space", "space")
    await s.sees("another person")


async def help_walk(s: Stage) -> None:
    """Keys of the walk."""
    await s.walk()
    await s.press("question_mark")
    await s.sees("escape: back")


async def note(s: Stage) -> None:
    """A note half written."""
    await s.walk()
    await s.press("n", each_s=0)
    await s.type("left hand rack")


async def redo(s: Stage) -> None:
    """Which step the rack goes back to."""
    await walk_out(s)
    await s.press("r", each_s=0)
    await s.sees("escape")


async def alarms(s: Stage) -> None:
    """Which alarm is heard, or put off."""
    await board(s)
    await s.press("a", each_s=0)
    await s.sees("escape")


async def why(s: Stage) -> None:
    """Why the step is there, what goes wrong, and what the surface is now."""
    await walk_dwell(s)
    await s.press("w", each_s=0)
    await s.sees("THE SURFACE NOW")


async def opening(s: Stage) -> None:
    """Which procedure."""
    await s.press("o")
    await s.sees("which procedure?", "never approved")


async def booking(s: Stage) -> None:
    """Which parts, with a fault in it."""
    await opening(s)
    await s.press("1")
    await s.book(area="5 dm")


async def plan(s: Stage) -> None:
    """The computed sheet."""
    await opening(s)
    await s.press("1")
    await s.book(strength="HRC 38", hollow="")
    await s.sees("The plan", "override, then open")


async def records(s: Stage) -> None:
    """One abandoned batch."""
    batch = await s.walk(sheet(FINAL))
    await s.press("x")
    await s.sees("through with it")
    await s.type(batch)
    await s.press("enter")
    await s.sees("Why is it abandoned?")
    await s.type("called back")
    await s.press("enter")
    await s.pin("otto", PIN)
    await s.sees("No batch is open")
    s.app.clear_notifications()
    await s.press("r")
    await s.sees("abandoned")
    await s.until(lambda: not s.app.screen.query("Toast"), "what was said went")


async def people(s: Stage) -> None:
    """Three of them."""
    await s.press("u")
    await s.sees("People", "Cleo Demo")


async def record(s: Stage) -> None:
    """An abandoned batch's record, read."""
    await records(s)
    await s.press("enter")
    await s.sees("ABANDONED")


async def find(s: Stage) -> None:
    """Which records."""
    await s.press("r")
    await s.sees("No batch that fits")
    await s.press("f")
    await s.sees("Which records?")


async def approvals(s: Stage) -> None:
    """Which revisions are approved."""
    await s.press("u", "p")
    await s.sees("never approved")


async def first_start(s: Stage) -> None:
    """Nobody works there yet; a stage without staff."""
    await s.sees("first start")


async def walk_big(s: Stage) -> None:
    """In big print: time running in the nickel tank."""
    await walk_dwell(s)
    await s.press("f3", each_s=0)


async def walk_big_up(s: Stage) -> None:
    """In big print: its time is up."""
    await walk_up(s)
    await s.press("f3", each_s=0)


Scene = Callable[[Stage], Awaitable[None]]
WALKS: tuple[Scene, ...] = (
    walk_before,
    walk_choice,
    walk_value,
    walk_dwell,
    walk_up,
    walk_out,
    walk_late,
    walk_paused,
    walk_big,
    walk_big_up,
)
OTHERS: tuple[Scene, ...] = (
    board,
    alarms,
    cautions,
    pin,
    note,
    redo,
    why,
    help_walk,
    opening,
    booking,
    plan,
    records,
    people,
    record,
    find,
    approvals,
)
