"""A shop with many sealed batches, quickly: one is walked, and the others have its facts."""

from __future__ import annotations

import hashlib
from pathlib import Path

from runner.cli.example import make_shop
from runner.record.lines import Line, line_hash
from support import floors
from support.forger import Forger, edited, raw_lines, read, told
from support.works import SEALED, Works, hire

ROUTE = "stirrup-irons.toml"


def sealed_batches(folder: Path, count: int) -> Works:
    """A shop with so many sealed batches, everything in it signed with its people's own keys."""
    make_shop(folder / "shop")
    made = floors.Works(folder / "shop", folder / "keys", route=ROUTE, area_dm2=1.0)
    made.people = hire(made.floor)
    made.follow_to(made.wait(60).open(), "release")
    made.floor.close()
    works = Works(made.folder, made.people)
    forger = Forger(works, {who: session.key for who, session in works.people.items()})
    walked, shop = read(forger.journal(SEALED)), read(forger.shop)
    for number in range(2, count + 1):
        shop += _another(forger, f"2026-{number:04}", walked, shop[-1])
    forger.rewrite_shop(shop)
    return works


def _another(forger: Forger, name: str, walked: list[Line], last: Line) -> list[Line]:
    """One more batch of the same facts; returns what the shop's journal says of it."""
    forger.works.batch(name).mkdir()
    first = edited(walked[0], batch=name, nonce=hashlib.sha256(name.encode()).hexdigest()[:32])
    forger.rewrite(name, [first, *walked[1:]])
    record = forger.reseal(name, walked[-1].who)
    opened = {"batch": name, "first": line_hash(raw_lines(forger.journal(name))[0]), "open": {}}
    sealed = {"batch": name, "record": hashlib.sha256(record).hexdigest()}
    people = forger.works.people
    return [
        told("batch-opened", opened, people[walked[0].who], last.moment),
        told("batch-sealed", sealed, people[walked[-1].who], last.moment),
    ]
