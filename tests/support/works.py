"""A real shop in a folder, with people, keys and batches of every kind, for attacks to start from.

Made once through the floor itself, then copied for each attack. Names and figures are invented.
"""

from __future__ import annotations

import shutil
from dataclasses import dataclass, replace
from pathlib import Path

from runner.batch import intents as do
from runner.batch.moment import Moment
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.record.floor import Floor
from runner.record.rehearse import rehearse
from runner.record.session import Session
from runner.shop.reading import load_shop
from runner.shop.rights import Role
from support import floors
from support.journals import moment

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


def make_works(folder: Path, keys: Path) -> Works:
    """The shop as it stands before any attack."""
    walked = floors.Works(floors.write_shop(folder), keys, area_dm2=1.0)
    walked.people = hire(walked.floor)
    _walk_all(walked)
    walked.floor.close()
    _rehearse(folder, walked.now)
    return Works(folder, walked.people)


def hire(floor: Floor) -> dict[str, Session]:
    """Everybody of `STAFF`, the owner first, each with a session."""
    return floors.hire(floor, STAFF, moment())


def _walk_all(walked: floors.Works) -> None:
    def opened() -> str:
        return walked.wait(60).open()

    walked.follow_to(opened(), "release")
    deviating = opened()
    walked.follow_to(deviating, "enter").wait(600)  # much too long in the dip
    walked.follow_to(deviating, "release")
    abandoned = opened()
    walked.follow_to(abandoned, "lift")
    called_back = do.Abandon("the parts were called back")
    walked.floor.act(abandoned, called_back, walked.now, walked.people["otto"])
    half = opened()
    walked.follow_to(half, "lift")
    unsigned = opened()  # its line in the shop's journal names the last line of the batch half done
    walked.follow_to(half, "enter")
    walked.floor.put_away(unsigned)
    walked.floor.take(unsigned, walked.now)  # without a session: facts go unsigned
    walked.follow_to(unsigned, "release")
    opened()


def _rehearse(folder: Path, now: Moment) -> None:
    shop = load_shop(folder)
    procedure = load_procedure(folder / "procedures" / "route.toml", shop)
    plan = compute(procedure, shop, Order(1.0, 2))
    rehearse(folder / "logs", plan, shop.title, "route.toml", procedure.source.text, now)
