"""A practice walk under a pilot, on a plan made by hand, with faults that a test chooses."""

from __future__ import annotations

from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from datetime import UTC
from pathlib import Path
from typing import Any, cast

from runner.batch.practice_faults import Fault
from runner.batch.practice_log import PracticeLog
from runner.batch.state import Phase
from runner.procedure.model import AskTrainee
from runner.procedure.sheet import Plan
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.practice_clock import PracticeClock
from runner.record.practice_floor import PRACTICE_PIN, PracticeFloor
from runner.record.practice_left import Left, take_up
from runner.record.practised import PractisedLedger
from runner.screens.practice_app import PracticeApp
from runner.shop.rights import Role
from support.floors import ROUTE, SHOP, hire, write_shop
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
    staff: dict[str, tuple[str, Role]] | None = None,
    keys_given: str = "",
    left: Left | None = None,
) -> AsyncIterator[tuple[PracticeApp, Stage]]:
    """The practice app on a small shop; its clock is moved by hand, at the pace that it chooses itself."""
    shop = folder / "shop" if left else write_shop(folder / "shop")
    (shop / "procedures" / "shop.toml").write_text(SHOP + keys_given, encoding="utf-8")
    hand = HandClock()
    keys = Keys(folder / "keys", rounds=1)
    hire(Floor(shop, keys), staff or {}, hand())
    ledger = PractisedLedger(shop, "route.toml", "A", keys, hand)
    if left is None:
        floor = PracticeFloor.new(shop, plan, "route.toml", ROUTE, hand())
        log, clock = PracticeLog(SEED, faults), PracticeClock(hand, hand())
    else:
        floor = PracticeFloor(shop, take_up(left))
        log, clock = left.log, PracticeClock.on_from(hand, left.state.last)
    app = PracticeApp(
        floor,
        clock,
        log,
        asked or {},
        ledger=ledger if staff else None,
        zone=UTC,
    )
    async with app.run_test(size=size, notifications=True) as pilot:
        s = Stage(cast("HeardApp", app), cast("Any", pilot), hand)
        await s.sees("PRACTICE", *(() if left else ("space",)))  # one that was left may come up at a question
        yield app, s
        assert app.crash is None, app.crash
    floor.close()


async def to_its_end(app: PracticeApp, s: Stage) -> None:
    """Walk a plan of a look at the end alone until the debrief stands."""
    await s.press("space", "space")
    await s.sees("enter: sign")
    await s.type(PRACTICE_PIN)
    await s.press("enter", "space")
    for _ in range(4):
        if app.practice.practised.phase is Phase.WALKED:
            break
        await s.press("space")
    await s.press("space")
    await s.sees("How many pieces are good?")
    await s.press("2", "enter")
    await s.sees("enter: sign")
    await s.type(PRACTICE_PIN)
    await s.press("enter")
    await s.sees("PRACTICE ·", "faults came")
