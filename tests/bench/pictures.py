"""Pictures of the app for the README, exported from the app itself on a made-up moment.

Run: ``python tests/bench/pictures.py .pictures``. What they show is the demo shop: all of it invented.
"""

from __future__ import annotations

import asyncio
import re
import sys
import tempfile
from datetime import UTC
from pathlib import Path

from runner.batch.intents import ReadCurrent
from runner.batch.moment import Moment
from runner.batch.questions import next_action
from runner.cli.example import make_shop
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.procedure.surface_explain import with_surfaces
from runner.procedure.surface_walk import follow
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.rehearse import intent_for, takes_s
from runner.record.session import Session
from runner.screens.app import TankwalkApp
from runner.screens.board import BoardScreen
from runner.shop.reading import load_shop

START = Moment(at_ms=1_796_119_200_000, boot="picture", up_ms=10_000_000)
PIN = "246810"


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> Moment:
        """The moment it stands at."""
        return self.now

    def on(self, seconds: float) -> None:
        """Move it."""
        ms = round(seconds * 1000)
        self.now = self.now._replace(at_ms=self.now.at_ms + ms, up_ms=self.now.up_ms + ms)


def walk_to(floor: Floor, batch: str, session: Session, clock: Clock, step: int) -> None:
    """Walk a batch in good order until its rack sits in a step, or hangs before it with nothing to ask."""
    while True:
        state = floor.hold(batch).state
        action = next_action(state, clock.now)
        if state.inside and state.runs[-1].step == step and action.name == "wait":
            return
        clock.on(takes_s(state, action))
        if action.name != "wait":
            floor.act(batch, intent_for(state, action), clock.now, session)


def opened(floor: Floor, session: Session, clock: Clock, file: str, part: str) -> str:
    """A batch of the demo, just opened."""
    shop = load_shop(floor.folder)
    procedure = load_procedure(floor.folder / "procedures" / file, shop)
    plan = compute(procedure, shop, Order(3.0, 4, ratio=0.6))
    plan = with_surfaces(plan, follow(procedure, shop, plan.basis[0]))
    return floor.open_batch(procedure.source, plan, part, "C-0099", session, clock.now)


async def _take(folder: Path, into: Path) -> None:
    clock = Clock()
    floor = Floor(folder, Keys(folder / "keys", rounds=1))
    floor.roll.add("demo", "Demo Owner (invented)", "owner", PIN, None, clock.now)
    session = floor.roll.unlock("demo", PIN, clock.now)
    irons = opened(floor, session, clock, "stirrup-irons.toml", "stirrup irons")
    walk_to(floor, irons, session, clock, 29)
    clock.on(900)
    floor.act(irons, ReadCurrent(35.5), clock.now)
    sleeves = opened(floor, session, clock, "pole-sleeves.toml", "pole sleeves")
    clock.on(120)
    opened(floor, session, clock, "rosettes.toml", "rosettes")
    app = TankwalkApp(floor, clock, zone=UTC, notice=" The demo shop, all of it invented.")
    async with app.run_test(size=(100, 28)) as pilot:
        await pilot.pause()
        _keep(app, into / "board.svg")
        app.to_walk(irons)
        await pilot.pause()
        _keep(app, into / "walk.svg")
        app.to_board()
        await pilot.pause()
        assert isinstance(app.screen, BoardScreen)
        app.to_walk(sleeves)
        await pilot.pause()
        _keep(app, into / "before.svg")


def _keep(app: TankwalkApp, file: Path) -> None:
    """The picture without its web fonts: a README must not ask another machine for anything."""
    svg = re.sub(r"@font-face \{.*?\}", "", app.export_screenshot(title="tankwalk"), flags=re.DOTALL)
    # Without this, some viewers fold runs of spaces and the columns fall together.
    file.write_text(svg.replace("<svg ", '<svg xml:space="preserve" ', 1), encoding="utf-8")


def main() -> None:
    """Write the pictures into the folder named on the command line."""
    into = Path(sys.argv[1] if len(sys.argv) > 1 else ".pictures")
    into.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "shop"
        make_shop(folder)
        asyncio.run(_take(folder, into))


if __name__ == "__main__":
    main()
