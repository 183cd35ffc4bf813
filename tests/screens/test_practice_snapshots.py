"""The screens of a practice as text, in the sizes of a shop's terminals and in every theme."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from runner.batch.practice_faults import LESSONS, Fault, Trouble, answers
from runner.procedure.sheet import Plan
from runner.screens.look import THEMES
from runner.screens.practice_app import PracticeApp
from support.floors import STAFF
from support.painted import ELSEWHERE, painted, too_faint
from support.practising import SEED, ask, practising, to_its_end
from support.screen import Stage, matches_snapshot
from support.sheets import DIP, FINAL, NICKEL, RINSE, sheet

SIZES = ((80, 24), (120, 40))
COLD = Fault(1, 10.0, Trouble.COLD, "bath 40 °C")
PHONE = Fault(1, 10.0, Trouble.PHONE, "the phone in the office rings")


async def in_the_tank(app: PracticeApp, s: Stage) -> None:
    """In the nickel, the ammeter read, until a fault shows."""
    await s.type("4")
    await s.press("enter", "space", "1", "2", "3", "space")
    await s.type("40")
    await s.press("enter", each_s=0)
    await s.wait(0)  # the clock takes its pace from here, whether the app's own tick came before or not
    while app.now().up_ms < 30_000:
        await s.wait(1)


async def walk(app: PracticeApp, s: Stage) -> None:
    """A bath that is cold."""
    await in_the_tank(app, s)
    await s.sees("bath 40 °C")


async def call(app: PracticeApp, s: Stage) -> None:
    """What is wrong?"""
    await walk(app, s)
    await s.press("s", each_s=0)
    await s.sees("What is wrong?")


async def choice(app: PracticeApp, s: Stage) -> None:
    """What to do about it?"""
    await call(app, s)
    await s.press(str(list(Trouble).index(Trouble.COLD) + 1), each_s=0)
    await s.sees("What do you do about it?")


async def phone(app: PracticeApp, s: Stage) -> None:
    """It rings."""
    await in_the_tank(app, s)
    await s.sees("THE PHONE RINGS")


async def place(app: PracticeApp, s: Stage) -> None:
    """Where was the rack?"""
    await phone(app, s)
    await s.press("1", each_s=0)
    await s.sees("Which step is the rack in?")


async def asked(app: PracticeApp, s: Stage) -> None:
    """The route's own question before a step."""
    del app
    await s.press("space")
    await s.sees("What first?")


async def board(app: PracticeApp, s: Stage) -> None:
    """The practice alone."""
    del app
    await s.press("b")
    await s.sees("1 open batch")


async def debrief(app: PracticeApp, s: Stage) -> None:
    """One fault missed, one call where nothing was wrong."""
    await s.press("s")
    await s.sees("What is wrong?")
    await s.press(str(list(Trouble).index(Trouble.BURNT) + 1))
    doing = answers(Trouble.BURNT, SEED)
    await s.press(str(doing.index(LESSONS[Trouble.BURNT].right) + 1))
    await to_its_end(app, s)
    app.clear_notifications()
    await s.until(lambda: not app.screen.query("Toast"), "what was said went")


async def who(app: PracticeApp, s: Stage) -> None:
    """Who practised, and their PIN."""
    await debrief(app, s)
    await s.press("space")
    await s.sees("Who practised", "Olive Demo")


class Scene(NamedTuple):
    """What is practised, and how far."""

    comes: Callable[[PracticeApp, Stage], Awaitable[None]]
    plan: Plan
    faults: tuple[Fault, ...] = ()


NICKELLED = sheet(NICKEL, RINSE, FINAL)
SCENES = (
    Scene(walk, NICKELLED, (COLD,)),
    Scene(call, NICKELLED, (COLD,)),
    Scene(choice, NICKELLED, (COLD,)),
    Scene(phone, NICKELLED, (PHONE,)),
    Scene(place, NICKELLED, (PHONE,)),
    Scene(asked, sheet(DIP, FINAL)),
    Scene(board, sheet(DIP, FINAL)),
    Scene(debrief, sheet(FINAL)),
    Scene(who, sheet(FINAL)),
)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: "x".join(map(str, size)))
@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.comes.__name__)
async def test_a_practice_looks_as_it_did(tmp_path: Path, scene: Scene, size: tuple[int, int]) -> None:
    """Row by row, in every theme the same words, and all of it to be read; each says that it is practice."""
    questions = {1: (ask("What first?", "fan", "current"),)} if scene.comes is asked else None
    run = practising(tmp_path, scene.plan, *scene.faults, asked=questions, size=size, staff=STAFF)
    async with run as (app, s):
        app.floor.lock_after_s = 1e6
        await scene.comes(app, s)
        app._tick()
        texts = []
        for theme in THEMES:
            app.theme = theme.name
            await s.pilot.pause()
            await s.settled()
            texts.append(s.text())
            for sixteen in (False, True):
                assert too_faint(list(painted(app, sixteen=sixteen)), ELSEWHERE) == [], (theme.name, sixteen)
    assert texts == texts[:1] * len(THEMES)
    assert "PRACTICE" in texts[0]
    matches_snapshot(f"practice-{scene.comes.__name__}-{size[0]}x{size[1]}", texts[0])
