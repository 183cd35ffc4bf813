"""A real shop in a folder, with people, keys and batches of every kind, for attacks to start from.

Made once through the floor itself, then copied for each attack. Names and figures are invented.
"""

from __future__ import annotations

import shutil
from dataclasses import dataclass, replace
from pathlib import Path

from runner.batch import intents as do
from runner.batch.moment import Moment
from runner.batch.questions import next_action
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.rehearse import rehearse
from runner.record.session import Session
from runner.shop.reading import load_shop
from runner.shop.rights import Role
from support.batches import later, wanted
from support.journals import moment

SHOP = """\
format = 1
title = "Attacked works (invented)"

[rectifier.R1]
max_current = "300 A"

[tank.dip]
solution = "sulfuric-dip"

[tank.nickel]
solution = "watts-nickel"
rectifier = "R1"
efficiency = 0.955
"""

ROUTE = """\
format = 1
title = "Dip and nickel (invented)"
revision = "A"
basis = ["low-carbon steel"]

[[step]]
name = "Dip"
does = "activate"
tank = "dip"
dwell = { min = "20 s", max = "60 s" }
next_within = "45 s"

[[step]]
name = "Nickel"
does = "plate"
tank = "nickel"
deposit = { metal = "nickel", type = "bright", thickness = "5 µm", current_density = "4 A/dm²" }
polarity = "cathodic"
check = [{ ask = "Rectifier current", unit = "A", when = "during" }]

[[step]]
name = "Look"
does = "inspect"
check = [{ ask = "Colour", when = "after", choices = ["even", "burnt"], accept = ["even"] }]
sign = "chargehand"
"""

PIN = "271828"
STAFF: dict[str, tuple[str, Role]] = {
    "olga": ("Olga Invented", "owner"),
    "otto": ("Otto Invented", "operator"),
    "owen": ("Owen Invented", "operator"),
    "cleo": ("Cleo Invented", "chargehand"),
    "tess": ("Tess Invented", "trainee"),
}

SEALED, DEVIATING, ABANDONED, OPEN, UNSIGNED, FRESH = (f"2026-{number:04}" for number in range(1, 7))
BATCHES = (SEALED, DEVIATING, ABANDONED, OPEN, UNSIGNED, FRESH)
ENDED = (SEALED, DEVIATING, ABANDONED, UNSIGNED)
REHEARSAL = "practice-2026-0001"


@dataclass
class Works:
    """The shop, and everybody's unlocked key.

    Attributes:
        folder: The shop's folder.
        people: Sessions by id.
    """

    folder: Path
    people: dict[str, Session]

    @property
    def logs(self) -> Path:
        """Where the records lie."""
        return self.folder / "logs"

    @property
    def rehearsal(self) -> Path:
        """The folder of its one rehearsal."""
        return self.logs / "practice" / REHEARSAL

    def batch(self, name: str) -> Path:
        """A batch's folder."""
        return self.logs / name

    def copy(self, folder: Path) -> Works:
        """The same shop elsewhere, for one attack to spoil."""
        shutil.copytree(self.folder, folder, symlinks=True)
        return replace(self, folder=folder, people=dict(self.people))


@dataclass
class Hand:
    """Works a floor, and lets time pass between."""

    floor: Floor
    people: dict[str, Session]
    now: Moment
    route: str = "route.toml"

    def open(self) -> str:
        """A new batch of two pieces, opened by the operator."""
        self.now = later(self.now, 60)
        shop = load_shop(self.floor.folder)
        procedure = load_procedure(self.floor.folder / "procedures" / self.route, shop)
        plan = compute(procedure, shop, Order(1.0, 2))
        session = self.people["otto"]
        return self.floor.open_batch(procedure.source, plan, "stirrup irons", "C-1", session, self.now)

    def follow(self, batch: str) -> str:
        """Do what the walk asks for next; returns what that was."""
        state = self.floor.hold(batch).state
        action = next_action(state, self.now)
        if action.name == "wait":
            self.now = later(self.now, action.wait_s or 0)
            return action.name
        self.now = later(self.now, 1)
        session = self.people["cleo"] if action.name in {"sign", "settle", "release"} else None
        if action.name == "sign" and state.step is not None and state.step.sign == "operator":
            session = self.people["otto"]
        self.floor.act(batch, wanted(state, action), self.now, session)
        return action.name

    def follow_to(self, batch: str, name: str) -> None:
        """Do what is asked until this has been done."""
        while self.follow(batch) != name:
            pass

    def overstay(self, batch: str) -> None:
        """Leave the rack in the dip for much too long."""
        self.follow_to(batch, "enter")
        self.now = later(self.now, 600)


def make_works(folder: Path, keys: Path) -> Works:
    """The shop as it stands before any attack."""
    (folder / "procedures").mkdir(parents=True)
    (folder / "procedures" / "shop.toml").write_text(SHOP, encoding="utf-8")
    (folder / "procedures" / "route.toml").write_text(ROUTE, encoding="utf-8")
    (folder / "logs").mkdir()
    floor = Floor(folder, Keys(keys, rounds=1))
    people = hire(floor)
    hand = Hand(floor, people, moment())
    _walk_all(hand)
    floor.close()
    _rehearse(folder, hand.now)
    return Works(folder, people)


def hire(floor: Floor) -> dict[str, Session]:
    """Everybody of `STAFF`, the owner first, each with a session."""
    people: dict[str, Session] = {}
    for who, (name, role) in STAFF.items():
        floor.roll.add(who, name, role, PIN, people.get("olga"), moment())
        people[who] = floor.roll.unlock(who, PIN, moment())
    return people


def _walk_all(hand: Hand) -> None:
    floor = hand.floor
    hand.follow_to(hand.open(), "release")
    deviating = hand.open()
    hand.overstay(deviating)
    hand.follow_to(deviating, "release")
    abandoned = hand.open()
    hand.follow_to(abandoned, "lift")
    floor.act(abandoned, do.Abandon("the parts were called back"), hand.now, hand.people["otto"])
    half = hand.open()
    hand.follow_to(half, "lift")
    unsigned = hand.open()  # its line in the shop's journal names the last line of the batch half done
    hand.follow_to(half, "enter")
    floor.put_away(unsigned)
    floor.take(unsigned, hand.now)  # without a session: facts go unsigned
    hand.follow_to(unsigned, "sign")
    hand.follow_to(unsigned, "release")
    hand.open()


def _rehearse(folder: Path, now: Moment) -> None:
    shop = load_shop(folder)
    procedure = load_procedure(folder / "procedures" / "route.toml", shop)
    plan = compute(procedure, shop, Order(1.0, 2))
    rehearse(folder / "logs", plan, shop.title, "route.toml", procedure.source.text, now)
