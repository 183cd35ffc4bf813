"""Many small batches, real and signed, made quickly: for questions over all of them, and for measuring.

They are made of the parts that a floor is made of (hold, seal, shop's journal). The floor itself reads the
whole shop's journal at each opening, which ten thousand openings in a row would spend hours on.
All of it is invented.
"""

from __future__ import annotations

import random
import secrets
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from runner.batch import intents as do
from runner.batch.events import FORMAT, BatchOpened
from runner.batch.moment import Moment, rfc3339
from runner.batch.questions import Action, next_action
from runner.batch.terms import Person
from runner.procedure.model import Source
from runner.procedure.plan import Order, compute
from runner.procedure.reading import parse_procedure
from runner.procedure.sheet import Plan
from runner.record import seal, shop_events
from runner.record.hold import Hold
from runner.record.keys import UnlockedKey
from runner.record.layout import LINE_NAMESPACE, RECORD_NAMESPACE
from runner.record.lines import dump, line_hash
from runner.record.session import Session
from runner.record.shop_journal import ShopJournal
from runner.record.shop_state import next_batch_name
from runner.shop.reading import parse_shop
from support.batches import later, wanted
from support.floors import ROUTE, SHOP, STAFF, write_shop
from support.journals import FaultyDisk, moment

ROUTES = {
    "A": ROUTE,
    "B": ROUTE.replace('revision = "A"', 'revision = "B"'),
    "C": ROUTE.replace("Dip and nickel", "Long dip").replace('max = "60 s"', 'max = "90 s"'),
}
PARTS = ("stirrup irons", "bell crank", "Überwurf µ", "=1+1", "[red]lamp[/red]", "a'; DROP TABLE batches; --")
CUSTOMERS = ("C-1", "C-22", "Ring & Sons", '"quoted", with comma', "-2+3")
REASONS = ("the hoist stood still", "a drip was wiped off", "100 % of it, _really_")


@cache
def route(name: str, area_dm2: float, pieces: int) -> tuple[Source, Plan]:
    """One of the routes, with its plan."""
    shop = parse_shop(SHOP)
    procedure = parse_procedure(ROUTES[name], shop, f"route-{name}.toml")
    return procedure.source, compute(procedure, shop, Order(area_dm2, pieces))


@dataclass
class Mill:
    """Makes batches in a shop of its own; to be closed.

    Attributes:
        folder: The shop's folder.
        now: Moved by hand.
        people: Sessions by id.
    """

    folder: Path
    now: Moment = field(default_factory=moment)
    people: dict[str, Session] = field(default_factory=dict)
    disk: FaultyDisk = field(default_factory=FaultyDisk)
    shop: ShopJournal = field(init=False)
    holds: dict[str, Hold] = field(default_factory=dict)

    def __post_init__(self) -> None:
        write_shop(self.folder)
        for who, (name, role) in STAFF.items():
            key = UnlockedKey.in_memory()
            self.people[who] = Session(Person(who, name, role, key.fingerprint), key)
            added = shop_events.PersonAdded(id=who, name=name, role=role, key=key.public_line)
            if who == "olive":
                signer = key.signer(LINE_NAMESPACE)
                self.shop = ShopJournal.found(self.logs, added, self.now, signer, self.disk)
            else:
                self.tell(added, "olive")

    @property
    def logs(self) -> Path:
        """Where journals and records lie."""
        return self.folder / "logs"

    @property
    def owner(self) -> str:
        """Fingerprint of the owner's key."""
        return self.people["olive"].key.fingerprint

    def tell(self, event: shop_events.ShopEvent, who: str) -> None:
        """A line of the shop's journal."""
        self.shop.write(event, who, self.now, self.people[who].signer)

    def wait(self, seconds: float) -> None:
        """Let time pass."""
        self.now = later(self.now, seconds)

    def open(
        self, part: str = "stirrup irons", customer: str = "C-1", name: str = "A", who: str = "otto"
    ) -> str:
        """A new batch."""
        source, plan = route(name, 5.0, 2)
        batch = next_batch_name(self.shop.state, int(rfc3339(self.now.at_ms)[:4]))
        first = BatchOpened(
            format=FORMAT,
            shop="Small floor (invented)",
            batch=batch,
            mode="production",
            nonce=secrets.token_hex(16),
            procedure_file=source.file,
            procedure_text=source.text,
            plan=plan,
            part=part,
            customer=customer,
            by=self.people[who].person,
        )
        (self.logs / batch).mkdir()
        others = {name: hold.last_hash for name, hold in self.holds.items()}
        hold = Hold.create(self.logs / batch, first, self.now, self.people[who].signer, self.disk)
        self.holds[batch] = hold
        self.tell(shop_events.BatchOpened(batch, line_hash(dump(hold.lines[0])), others), who)
        return batch

    def act(self, batch: str, intent: do.Intent, who: str, *, fresh: bool = False) -> None:
        """Carry an intent out; an ending is sealed."""
        hold, session = self.holds[batch], self.people[who]
        hold.do(intent, do.Stamp(self.now, session.person, unlocked=True, fresh=fresh), session.signer)
        if not hold.state.phase.ended:
            return
        record = seal.seal(hold.folder, session.key, RECORD_NAMESPACE, self.disk)
        hold.close()
        del self.holds[batch]
        abandoned = hold.state.abandoned_because is not None
        kind = shop_events.BatchAbandoned if abandoned else shop_events.BatchSealed
        self.tell(kind(batch=batch, record=record), who)

    def follow(self, batch: str, who: str = "otto") -> str:
        """Do what the walk asks for next; returns what that was."""
        hold = self.holds[batch]
        action: Action = next_action(hold.state, self.now)
        if action.name == "wait":
            self.wait(action.wait_s or 0)
        else:
            self.wait(1)
            signs = action.name in {"sign", "settle", "release"}
            self.act(batch, wanted(hold.state, action), "cleo" if signs else who, fresh=signs)
        return action.name

    def walk(self, batch: str, who: str = "otto", chance: random.Random | None = None) -> None:
        """To its release; by chance racks are left in too long, and a reason is given."""
        done = ""
        while done != "release":
            if chance is not None and done == "enter" and chance.random() < 0.2:
                self.wait(4000)
            action = next_action(self.holds[batch].state, self.now)
            if chance is not None and action.name == "explain" and action.deviation is not None:
                self.wait(1)
                self.act(batch, do.Explain(action.deviation.number, chance.choice(REASONS)), who)
                done = "explain"
            else:
                done = self.follow(batch, who)

    def close(self) -> None:
        """Let go of everything."""
        for hold in self.holds.values():
            hold.close()
        self.shop.close()


def mixed(folder: Path, batches: int, seed: int) -> Mill:
    """A shop with batches of every sort: released, abandoned, open, with and without deviations."""
    chance = random.Random(seed)  # noqa: S311 - which sample is drawn must be the same every time
    mill = Mill(folder)
    for _ in range(batches):
        mill.wait(chance.choice((60, 3600, 40_000, 400_000)))
        who = chance.choice(("otto", "olive", "cleo"))
        batch = mill.open(chance.choice(PARTS), chance.choice(CUSTOMERS), chance.choice("ABC"), who)
        sort = chance.random()
        if sort < 0.15:
            for _ in range(chance.randrange(8)):
                mill.follow(batch, who)
        elif sort < 0.3:
            for _ in range(chance.randrange(1, 8)):
                mill.follow(batch, who)
            mill.act(batch, do.Abandon("called back"), who, fresh=True)
        else:
            mill.walk(batch, who, chance)
    return mill
