"""Every single fault that can be put into a route: a step out, doubled or swapped, a figure changed.

Works on the text's own data, so that a faulty route is read as any file is: one that the format refuses
already is counted apart.
"""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import tomli_w

from runner.faults import InputFault
from runner.procedure.model import Procedure
from runner.procedure.reading import parse_procedure
from runner.shop.model import Shop
from runner.shop.tank_figures import solution_of

Route = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: what kind, at which step, and the route with it; None where the format refuses it."""

    kind: str
    step: int
    what: str
    procedure: Procedure | None


def removed_kind(step: Route) -> str:
    """What kind of step is missing."""
    does = step["does"]
    if does in {"clean", "electroclean"}:
        return "cleaning removed"
    if does == "rinse":
        return "rinse removed"
    if does in {"activate", "etch", "desmut", "zincate", "neutralise", "passivate"}:
        return "dip removed"
    if does in {"strike", "plate"}:
        return "deposit removed"
    if does == "strip":
        return "strip removed"
    return "drying or bake removed" if does in {"dry", "bake"} else "bench step removed"


def _changed(route: Route, place: int, **keys: Any) -> Route:
    new = copy.deepcopy(route)
    for key, value in keys.items():
        if value is None:
            new["step"][place].pop(key, None)
        else:
            new["step"][place][key] = value
    return new


def _scaled(text: str, factor: float) -> str:
    number, _, unit = text.partition(" ")
    return f"{float(number) * factor:.6g} {unit}"


def _order(route: Route) -> Iterator[tuple[str, int, str, Route]]:
    steps = route["step"]
    for place, step in enumerate(steps):
        without = copy.deepcopy(route)
        del without["step"][place]
        yield removed_kind(step), place, step["name"], without
        if step.get("tank"):
            twice = copy.deepcopy(route)
            twice["step"].insert(place, copy.deepcopy(step))
            yield "step doubled", place, step["name"], twice
        if place + 1 < len(steps) and (step.get("tank") or steps[place + 1].get("tank")):
            swapped = copy.deepcopy(route)
            swapped["step"][place : place + 2] = reversed(swapped["step"][place : place + 2])
            yield "steps swapped", place, f"{step['name']} / {steps[place + 1]['name']}", swapped


def _tanks(route: Route, shop: Shop) -> Iterator[tuple[str, int, str, Route]]:
    """Into the first tank of each other solution, and into each other rinse."""
    firsts: dict[str, str] = {}
    for tank in shop.tanks.values():
        firsts.setdefault(solution_of(tank).name, tank.id)
    for place, step in enumerate(route["step"]):
        name = step.get("tank")
        if not name:
            continue
        own = solution_of(shop.tanks[name])
        rinses = {t.id for t in shop.tanks.values() if own.name == "rinse" and solution_of(t).name == "rinse"}
        for other in sorted(({*firsts.values()} if own.name != "rinse" else rinses) - {name}):
            kind = "another rinse" if own.name == "rinse" else "another tank"
            yield kind, place, f"{step['name']} in {other}", _changed(route, place, tank=other)


def _figures(route: Route) -> Iterator[tuple[str, int, str, Route]]:
    for place, step in enumerate(route["step"]):
        name, deposit = step["name"], step.get("deposit")
        if step.get("polarity"):
            other = "anodic" if step["polarity"] == "cathodic" else "cathodic"
            yield "polarity turned", place, name, _changed(route, place, polarity=other)
        for factor in (0.3, 3.0):
            kind = "density × 3" if factor > 1 else "density × 0.3"
            if deposit:
                scaled = {**deposit, "current_density": _scaled(deposit["current_density"], factor)}
                yield kind, place, name, _changed(route, place, deposit=scaled)
            elif step.get("current_density"):
                changed = _scaled(step["current_density"], factor)
                yield kind, place, name, _changed(route, place, current_density=changed)
        if deposit:
            thin = {**deposit, "thickness": _scaled(deposit["thickness"], 0.2)}
            kind = "strike a fifth as thick" if step["does"] == "strike" else "plate a fifth as thick"
            yield kind, place, name, _changed(route, place, deposit=thin)
        if step.get("temperature"):
            window = step["temperature"]
            for by in (-100, 150):
                moved = {end: f"{float(t.split()[0]) + by:g} °C" for end, t in window.items()}
                yield "oven temperature moved", place, name, _changed(route, place, temperature=moved)
        if step["does"] == "bake" and isinstance(step.get("dwell"), dict):
            yield "bake a sixth as long", place, name, _changed(route, place, dwell="3 h")
        if step["does"] == "strike" or (deposit and step.get("live_entry")):
            yield (
                "live entry left out",
                place,
                name,
                _changed(route, place, live_entry=None, entry_voltage=None),
            )
        if step.get("tank") and step.get("next_within"):
            yield "way × 10 min", place, name, _changed(route, place, next_within="10 min")
        if step.get("current_within"):
            yield "current gap 30 min", place, name, _changed(route, place, current_within="30 min")


def faults(text: str, shop: Shop, kinds: set[str] | None = None) -> Iterator[Fault]:
    """Every single fault of a route, given as the text of its file; or those of some kinds."""
    route = tomllib.loads(text)
    for kind, place, what, changed in (*_order(route), *_tanks(route, shop), *_figures(route)):
        if kinds is not None and kind not in kinds:
            continue
        try:
            procedure = parse_procedure(tomli_w.dumps(changed), shop)
        except InputFault:
            procedure = None
        yield Fault(kind, place + 1, what, procedure)
