"""What does each tank of the shop take, over all its procedures?

Owns the gathering: which films come into each tank, from which procedure, and which metals are on top as
they do. A rinse or a dip is shared by every route that names it, so no file can be judged alone. Must not
judge.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from runner.plating.classes import ChemicalClass
from runner.plating.pairs import SHARED_ABOVE
from runner.procedure.surface import Cling, History
from runner.shop.chemistry import classes_of
from runner.shop.model import Shop

Classes = frozenset[ChemicalClass]
_NONE: Classes = frozenset()


@dataclass(frozen=True, slots=True)
class Visit:
    """One step that brings a part into a tank.

    Attributes:
        route: Title of the procedure.
        step: Number of the step.
        top: Metal on top as it comes.
        film: What clings as it comes.
    """

    route: str
    step: int
    top: str
    film: tuple[Cling, ...]


@dataclass(frozen=True, slots=True)
class SharedUse:
    """Every visit to every tank.

    Attributes:
        visits: By the tank's id.
        strongest: By the tank's id, for each film the two steps that bring most of it: one of a route's own
            and still another, however many routes there are.
        classes: Of every tank of the shop, by its id.
        brought: Visits that bring a class into a tank, stronger than `SHARED_ABOVE`.
        held: The classes in each tank: its own, or what comes into water.
        beside: Neighbours of every tank, whichever of the two names the other.
    """

    visits: Mapping[str, tuple[Visit, ...]]
    strongest: Mapping[str, tuple[tuple[Visit, Cling], ...]]
    classes: Mapping[str, Classes]
    brought: Mapping[tuple[str, ChemicalClass], tuple[Visit, ...]]
    held: Mapping[str, Classes]
    beside: Mapping[str, frozenset[str]]

    def classes_of(self, tank: str) -> Classes:
        """What a tank is of; nothing where the shop has no such tank."""
        return self.classes.get(tank, _NONE)

    def bringing(self, tank: str, kind: ChemicalClass) -> tuple[Visit, ...]:
        """The visits that bring a class into a tank."""
        return self.brought.get((tank, kind), ())

    def holds(self, tank: str) -> Classes:
        """What is in a tank; nothing where the shop has no such tank."""
        return self.held.get(tank, _NONE)


def gather(shop: Shop, routes: Iterable[tuple[str, Iterable[History]]]) -> SharedUse:
    """All visits of some routes, each given with its title and its histories, one a metal."""
    classes = {name: classes_of(tank) for name, tank in shop.tanks.items()}
    visits: dict[str, dict[tuple[str, int, str], Visit]] = defaultdict(dict)
    brought: dict[tuple[str, ChemicalClass], dict[tuple[str, int], Visit]] = defaultdict(dict)
    for title, histories in routes:
        for history in histories:
            for stage in history:
                if stage.tank is None:
                    continue
                before, tank = stage.before, stage.tank.id
                visit = Visit(title, stage.number, before.top, before.film)
                visits[tank][title, stage.number, before.top] = visit
                for cling in before.film:
                    for kind in classes.get(cling.tank, _NONE) if cling.share >= SHARED_ABOVE else ():
                        brought[tank, kind][title, stage.number] = visit
    carried: dict[str, set[ChemicalClass]] = defaultdict(set)
    for tank, kind in brought:
        carried[tank].add(kind)
    beside: dict[str, set[str]] = defaultdict(set)
    for name, own in shop.tanks.items():
        for other in own.beside:
            beside[name].add(other)
            beside[other].add(name)
    return SharedUse(
        {tank: tuple(found.values()) for tank, found in visits.items()},
        {tank: _strongest(found.values()) for tank, found in visits.items()},
        classes,
        {key: tuple(found.values()) for key, found in brought.items()},
        {tank: own or frozenset(carried[tank]) for tank, own in classes.items()},
        {tank: frozenset(near) for tank, near in beside.items()},
    )


def _strongest(visits: Iterable[Visit]) -> tuple[tuple[Visit, Cling], ...]:
    """For each film the strongest that comes, and the strongest of any other step."""
    best: dict[tuple[str, str], list[tuple[Visit, Cling]]] = defaultdict(list)
    for visit in visits:
        for cling in visit.film:
            kept = best[cling.tank, cling.solution]
            rest = [one for one in kept if (one[0].route, one[0].step) != (visit.route, visit.step)]
            same = [one for one in kept if one not in rest]
            both = [*rest, max([*same, (visit, cling)], key=lambda one: one[1].share)]
            best[cling.tank, cling.solution] = sorted(both, key=lambda one: -one[1].share)[:2]
    return tuple(one for kept in best.values() for one in kept)
