"""What holds for every rule and every route, however odd."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from time import process_time

import pytest

from runner.plating.effects_table import EFFECTS
from runner.plating.severity import Severity
from runner.plating.solutions import SOLUTIONS
from runner.procedure.model import Procedure
from runner.procedure.reading import load_procedure
from runner.procedure.rules.catalogue import CATALOGUE
from runner.procedure.rules.check import check_among, check_procedure, check_shop, followed
from runner.procedure.surface_explain import explain
from runner.procedure.surface_walk import follow
from runner.shop.finding import procedure_files
from runner.shop.model import Shop
from runner.shop.reading import load_shop
from support.faulty_routes import faults
from support.odd_routes import try_odd
from support.rule_shop import SHOP, STEEL, route

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = load_shop(ROOT)
SHIPPED_ROUTES = {file.name: load_procedure(file, SHIPPED) for file in procedure_files(ROOT)}
# A route that takes in parts cannot be read again from its text alone, and its parts are those of others.
ROUTES = {name: route_ for name, route_ in SHIPPED_ROUTES.items() if "\ninclude" not in route_.source.text}


def test_no_odd_route_breaks_a_rule() -> None:
    """Two hundred here; ``tests/bench/mutations.py --odd 10000`` tries more."""
    assert try_odd(200) > 50


@pytest.mark.parametrize("name", ROUTES)
def test_a_shipped_route_is_clean(name: str) -> None:
    """No danger, no spoil, no doubt, among all the routes of the shop."""
    found = check_shop(ROUTES, SHIPPED)[name]
    assert not [f for f in found if f.severity is not Severity.ADVICE], found


def test_rules_are_named_apart_and_in_plain_words() -> None:
    """A name is a slug, its sentence ends with a stop, its source is not empty."""
    assert len({rule.name for rule in CATALOGUE}) == len(CATALOGUE)
    for rule in CATALOGUE:
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", rule.name)
        assert rule.says.endswith(".")
        assert rule.source.text and rule.look.__doc__


def test_every_solution_has_an_effect() -> None:
    """A row without one would be told as not known at every step."""
    assert set(EFFECTS) == set(SOLUTIONS)


def test_the_same_route_gives_the_same_findings() -> None:
    """Checked alone, among others followed before, and with the whole shop."""
    name = "stirrup-irons.toml"
    others = [route for other, route in ROUTES.items() if other != name]
    alone = check_procedure(ROUTES[name], SHIPPED, others=others)
    assert (
        alone
        == check_among(ROUTES[name], SHIPPED, followed(others, SHIPPED))
        == check_shop(ROUTES, SHIPPED)[name]
    )


def test_the_surface_is_told_after_every_step() -> None:
    """Metal, activity, cleanliness, water and film, in one line each; solutions by what people call them."""
    lines = explain(follow(route(STEEL), SHOP, "low-carbon steel"))
    assert len(lines) == len(STEEL) + 1
    assert "passive; oily; dry" in lines[0]
    assert "nickel 20 µm on low-carbon steel; active; clean; wet" in lines[7]
    assert "film: Decorative chromium (hexavalent)" in lines[9]
    films = "".join(line.partition("film: ")[2] for line in lines)
    assert not [name for name in SOLUTIONS if "-" in name and name in films]


CAUGHT = {
    "deposit removed": 0.85,
    "dip removed": 0.85,
    "polarity turned": 0.95,
    "current gap 30 min": 0.95,
    "plate a fifth as thick": 0.75,
    "bake a sixth as long": 0.95,
    "density × 0.3": 0.85,
}
"""Least share of single faults that must be found; what is left a plater would sign."""


@pytest.mark.parametrize(
    "names", [("stirrup-irons.toml", "rosettes.toml"), ("letter.toml", "crank-pins.toml")]
)
def test_most_single_faults_of_a_clean_route_are_found(names: tuple[str, ...]) -> None:
    """Every fault of some kinds, in four routes."""
    seen: dict[str, list[bool]] = {}
    for name in names:
        around = followed((route for other, route in ROUTES.items() if other != name), SHIPPED)
        for fault in faults(ROUTES[name].source.text, SHIPPED, set(CAUGHT)):
            if fault.procedure is not None:
                found = check_among(fault.procedure, SHIPPED, around)
                seen.setdefault(fault.kind, []).append(bool(found))
    assert seen
    for kind, hits in seen.items():
        assert sum(hits) >= CAUGHT[kind] * len(hits) - 1, (kind, hits)


def test_a_long_route_is_checked_in_no_time() -> None:
    """Sixty steps, warm, in at most 20 ms of the processor: waiting for a busy machine does not count."""
    steps = [step for _ in range(6) for step in STEEL][:60]
    long = route(steps)
    check_procedure(long, SHOP)
    took = min(_timed(long, SHOP) for _ in range(5))
    assert took < 0.02


def _timed(procedure: Procedure, shop: Shop) -> float:
    start = process_time()
    check_procedure(procedure, shop)
    return process_time() - start


def test_the_routes_are_read_as_they_are_written() -> None:
    """The faulty routes are made from the same text that was checked."""
    for route_ in ROUTES.values():
        assert len(tomllib.loads(route_.source.text)["step"]) == len(route_.steps)
