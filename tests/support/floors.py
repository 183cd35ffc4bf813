"""A small works with people and batches, walked through its floor; its keys open fast. All invented."""

from __future__ import annotations

import gc
from dataclasses import dataclass, field
from pathlib import Path

from runner.batch.moment import Moment
from runner.batch.questions import next_action
from runner.batch.state import BatchState
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.record.floor import Floor
from runner.record.fold import fold
from runner.record.keys import Keys
from runner.record.session import Session
from runner.record.verify import verify
from runner.shop.reading import load_shop
from runner.shop.rights import Role
from support.batches import later, wanted
from support.journals import moment

SHOP = """\
format = 1
title = "Small floor (invented)"

[rectifier.R1]
max_current = "100 A"

[tank.dip]
title = "Acid dip"
solution = "sulfuric-dip"

[tank.nickel]
title = "Bright nickel"
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

PIN = "314159"
STAFF: dict[str, tuple[str, Role]] = {
    "olive": ("Olive Demo", "owner"),
    "otto": ("Otto Demo", "operator"),
    "cleo": ("Cleo Demo", "chargehand"),
}
AREA_DM2, PIECES = 5.0, 2


def write_shop(folder: Path) -> Path:
    """The shop's folder with its route and no people; returns the folder."""
    (folder / "procedures").mkdir(parents=True)
    (folder / "procedures" / "shop.toml").write_text(SHOP, encoding="utf-8")
    (folder / "procedures" / "route.toml").write_text(ROUTE, encoding="utf-8")
    (folder / "logs").mkdir()
    return folder


def hire(floor: Floor, staff: dict[str, tuple[str, Role]], now: Moment) -> dict[str, Session]:
    """People with a key each, the first of them the owner, and their sessions."""
    people: dict[str, Session] = {}
    for who, (name, role) in staff.items():
        floor.roll.add(who, name, role, PIN, next(iter(people.values()), None), now)
        people[who] = floor.roll.unlock(who, PIN, now)
    return people


@dataclass
class Works:
    """A shop, one terminal's floor on it, and its people with their keys unlocked.

    Attributes:
        folder: The shop's folder.
        keys: Where the private keys lie.
        now: Moved by hand.
        route: File of the procedure that its batches follow.
        area_dm2: Of each of their two pieces.
    """

    folder: Path
    keys: Path
    now: Moment = field(default_factory=moment)
    people: dict[str, Session] = field(default_factory=dict)
    route: str = "route.toml"
    area_dm2: float = AREA_DM2
    floor: Floor = field(init=False)

    def __post_init__(self) -> None:
        self.floor = self.terminal()

    @property
    def logs(self) -> Path:
        """Where journals and records lie."""
        return self.folder / "logs"

    def terminal(self) -> Floor:
        """Another terminal's floor on the same shop."""
        return Floor(self.folder, Keys(self.keys, rounds=1))

    def hire(self) -> Works:
        """Everybody of `STAFF`, the owner first."""
        self.people = hire(self.floor, STAFF, self.now)
        return self

    def wait(self, seconds: float) -> Works:
        """Let time pass."""
        self.now = later(self.now, seconds)
        return self

    def open(self, who: str = "otto") -> str:
        """A new batch, in hand here."""
        shop = load_shop(self.folder)
        procedure = load_procedure(self.folder / "procedures" / self.route, shop)
        plan = compute(procedure, shop, Order(self.area_dm2, PIECES))
        return self.floor.open_batch(
            procedure.source, plan, "stirrup irons", "C-1", self.people[who], self.now
        )

    def state(self, batch: str) -> BatchState:
        """What a batch in hand comes to."""
        return self.floor.hold(batch).state

    def follow(self, batch: str) -> str:
        """Do what the walk asks for next, by somebody who may; returns what that was."""
        action = next_action(self.state(batch), self.now)
        if action.name == "wait":
            self.wait(action.wait_s or 0)
        elif action.name != "none":
            state = self.state(batch)
            by = {"sign": "cleo", "settle": "cleo", "release": "cleo"}.get(action.name)
            if action.name == "sign" and state.step is not None and state.step.sign == "operator":
                by = "otto"
            self.floor.act(batch, wanted(state, action), self.wait(1).now, self.people[by] if by else None)
        return action.name

    def follow_to(self, batch: str, name: str, times: int = 1) -> Works:
        """Do what is asked until this has been done so many times."""
        while times:
            done = self.follow(batch)
            assert done != "none", f"the walk ended without {name}"
            times -= done == name
        return self

    def crash(self) -> None:
        """The terminal dies: nothing is closed, the locks go with it; another starts on the same shop."""
        del self.floor
        gc.collect()
        self.floor = self.terminal()

    def take(self, batch: str, who: str = "otto") -> None:
        """Take a batch after a restart, with somebody's key for its facts."""
        assert self.floor.take(batch, self.now) is None
        self.floor.use(batch, self.people[who])

    def journal(self, batch: str) -> Path:
        """A batch's journal."""
        return self.logs / batch / "journal.jsonl"

    def refold(self, batch: str) -> BatchState:
        """What a batch's bytes on the disk come to."""
        return fold(self.journal(batch).read_bytes()).state

    def proves(self, batch: str) -> bool:
        """Whether a batch proves against the owner's fingerprint; the floor lets go of it first."""
        self.floor.close()
        verdict = verify(self.logs / batch, None, self.people["olive"].key.fingerprint)
        assert verdict.findings == (), batch
        return verdict.ok
