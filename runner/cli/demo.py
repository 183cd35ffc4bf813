"""``tankwalk demo``: the app on a fresh copy of the demo shop, or on one that an earlier demo left."""

from __future__ import annotations

import tempfile
from pathlib import Path

import click

from runner.cli.app import require_terminal, run_app
from runner.cli.common import say
from runner.cli.example import make_shop
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.layout import LOGS, SHOP_JOURNAL
from runner.record.moment import SystemClock
from runner.record.roll import Roll
from runner.record.sshsig import fingerprint
from runner.shop.finding import shop_file

DEMO_ID, DEMO_NAME = "demo", "Demo Owner (invented)"
DEMO_PIN = "246810"
"""Shown on the screen: it guards nothing, since the demo's key lies in the demo's own folder."""
KEYS = "keys"
"""The demo's keys lie in its own folder, so that nothing of it stays behind anywhere else."""


@click.command(name="demo")
@click.option(
    "--dir",
    "folder",
    type=click.Path(path_type=Path),
    help="Where to put it, or where an earlier demo lies, to go on with that; a new folder if left out.",
)
@click.option(
    "--big/--no-big", default=None, help="Begin the walk in big print, or not; else as the shop says."
)
def command(*, folder: Path | None, big: bool | None) -> int:
    """The app on a fresh copy of the demo shop: an invented carousel works. Needs no set-up."""
    require_terminal()
    folder = folder or Path(tempfile.mkdtemp(prefix="tankwalk-demo-"))
    floor = _floor(folder)
    status = run_app(floor, f" Demo shop, all of it invented. PIN {DEMO_PIN}. It lies in {folder}", big=big)
    say(f"The demo shop and its records lie in {folder}; to go on with it: tankwalk demo --dir {folder}")
    return status


def _floor(folder: Path) -> Floor:
    """The floor of the demo that lies in a folder, else of a new one made there.

    Raises:
        InputFault: Something else stands there.
        OSError: It could not be written.
    """
    keys = Keys(folder / KEYS)
    if _is_demo(folder, keys):
        return Floor(folder, keys)
    make_shop(folder)
    floor = Floor(folder, keys)
    floor.roll.add(DEMO_ID, DEMO_NAME, "owner", DEMO_PIN, None, SystemClock().now())
    return floor


def _is_demo(folder: Path, keys: Keys) -> bool:
    """Whether a demo made what stands there: its shop is the demo owner's, whose key lies beside it."""
    if not (shop_file(folder).is_file() and (folder / LOGS / SHOP_JOURNAL).is_file()):
        return False
    shop = Roll(folder, folder / LOGS, keys).state
    owner = shop.people.get(DEMO_ID) if shop else None
    # By the name that they began with: a demo is there to be tried, and a name can be changed.
    if owner is None or owner.key is None or (owner.added_by, owner.keys[0].name) != (DEMO_ID, DEMO_NAME):
        return False
    return fingerprint(owner.key) in keys.fingerprints()
