"""A practice walk under a pilot, on a plan made by hand, with faults that a test chooses."""

from __future__ import annotations

from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from datetime import UTC
from pathlib import Path
from typing import Any, cast

from runner.batch.practice_faults import Fault
from runner.batch.practice_log import PracticeLog
from runner.procedure.model import AskTrainee
from runner.procedure.sheet import Plan
from runner.record.practice_clock import PracticeClock
from runner.record.practice_floor import PracticeFloor
from runner.screens.practice_app import PracticeApp
from support.floors import ROUTE, write_shop
from support.screen import HandClock, HeardApp, Stage

SEED = 7


def ask(question: str, right: str, *wrong: str) -> AskTrainee:
    """A question for a trainee, as a route says it."""
    return AskTrainee.model_validate(
        {"ask": question, "choices": [right, *wrong], "right": right, "because": "The data sheet decides."}
    )


@asynccontextmanager
async def practising(
    folder: Path,
    plan: Plan,
    *faults: Fault,
    asked: Mapping[int, tuple[AskTrainee, ...]] | None = None,
    size: tuple[int, int] = (80, 24),
) -> AsyncIterator[tuple[PracticeApp, Stage]]:
    """The practice app on a small shop; its clock is moved by hand, at the pace that it chooses itself."""
    shop = write_shop(folder / "shop")
    hand = HandClock()
    floor = PracticeFloor(shop, plan, "route.toml", ROUTE, hand())
    app = PracticeApp(floor, PracticeClock(hand, hand()), PracticeLog(SEED, faults), asked or {}, zone=UTC)
    async with app.run_test(size=size, notifications=True) as pilot:
        s = Stage(cast("HeardApp", app), cast("Any", pilot), hand)
        await s.sees("PRACTICE", "space")
        yield app, s
        assert app.crash is None, app.crash
    floor.close()
