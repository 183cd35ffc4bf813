"""``tankwalk demo``: the app on a fresh copy of the demo shop."""

from __future__ import annotations

import tempfile
from pathlib import Path

import click

from runner.cli.app import require_terminal, run_app
from runner.cli.common import say
from runner.cli.example import make_shop
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.moment import SystemClock

DEMO_ID, DEMO_NAME = "demo", "Demo Owner (invented)"
DEMO_PIN = "246810"
"""Shown on the screen: it guards nothing, since the demo's key lies in the demo's own folder."""


@click.command(name="demo")
@click.option(
    "--dir", "folder", type=click.Path(path_type=Path), help="Where to put it; a new folder if left out."
)
@click.option(
    "--big/--no-big", default=None, help="Begin the walk in big print, or not; else as the shop says."
)
def command(*, folder: Path | None, big: bool | None) -> int:
    """The app on a fresh copy of the demo shop: an invented carousel works. Needs no set-up."""
    require_terminal()
    folder = folder or Path(tempfile.mkdtemp(prefix="tankwalk-demo-"))
    make_shop(folder)
    floor = Floor(folder, Keys(folder / "keys"))
    floor.roll.add(DEMO_ID, DEMO_NAME, "owner", DEMO_PIN, None, SystemClock().now())
    status = run_app(floor, f" Demo shop, all of it invented. PIN {DEMO_PIN}. It lies in {folder}", big=big)
    say(f"The demo shop and its records lie in {folder}")
    return status
