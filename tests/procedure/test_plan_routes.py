"""The routes that come along, planned: what a careful plater would find odd does not stand in them."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.cli.example import example_files
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.procedure.sheet import Plan, PlannedStep
from runner.shop.finding import PEOPLE_FILE, SHOP_FILE
from runner.shop.model import Shop
from runner.shop.reading import parse_shop

FILES = sorted(file for file in example_files().glob("*.toml") if file.name not in {SHOP_FILE, PEOPLE_FILE})


@pytest.fixture(scope="module")
def shop() -> Shop:
    """The shop that comes along."""
    return parse_shop((example_files() / SHOP_FILE).read_text(encoding="utf-8"))


@pytest.fixture(params=FILES, ids=[file.stem for file in FILES])
def plan(request: pytest.FixtureRequest, shop: Shop) -> Plan:
    """Each route, planned for two pieces of 4 dm²."""
    file: Path = request.param
    return compute(load_procedure(file, shop), shop, Order(4.0, 2))


def deposits(plan: Plan) -> list[PlannedStep]:
    """Its steps that lay metal down."""
    return [step for step in plan.steps if step.metal is not None]


def test_a_dozen_routes_come_along() -> None:
    """A folder that was not found would make the tests below vanish."""
    assert len(FILES) >= 12


def test_it_can_be_run(plan: Plan) -> None:
    """No demo load asks for more than the demo shop has; no density lies outside its window."""
    assert [reason for step in plan.steps for reason in step.refusals] == []
    assert [told for step in plan.steps for told in step.warnings if "window" in told] == []


def test_every_deposit_has_its_figures(plan: Plan) -> None:
    """Amps, time, charge and mean; and the mean is no less than was asked for."""
    for step in deposits(plan):
        assert step.current_a is not None
        assert step.dwell_s is not None
        assert step.charge_ah is not None
        assert step.mean_thickness_um is not None
        assert step.target_um is not None
        assert step.mean_thickness_um >= step.target_um


def test_an_hour_in_acid_copper_builds_tens_of_micrometres(plan: Plan) -> None:
    """Common practice: between ten and a hundred."""
    for step in deposits(plan):
        if step.solution == "acid-copper":
            assert step.mean_thickness_um is not None
            assert step.dwell_s is not None
            assert 10 < step.mean_thickness_um * 3600 / step.dwell_s < 100


def test_a_strike_is_a_few_micrometres_at_most(plan: Plan) -> None:
    """Common practice: around one micrometre; a strike covers and bonds, it does not build."""
    for step in deposits(plan):
        if step.does == "strike":
            assert step.mean_thickness_um is not None
            assert 0.3 <= step.mean_thickness_um <= 5


def test_decorative_chromium_is_the_thinnest_and_last_layer(plan: Plan) -> None:
    """Common practice: under a micrometre over layers of tens."""
    layers = deposits(plan)
    thin = [step for step in layers if step.metal == "chromium" and step.deposit_type != "hard"]
    for step in thin:
        assert step is layers[-1]
        assert step.mean_thickness_um == min(other.mean_thickness_um or 0.0 for other in layers)
        assert (step.mean_thickness_um or 0.0) < 1.5
        assert step.follows == "clock"


def test_a_rack_stands_in_no_plating_tank_for_days(plan: Plan) -> None:
    """Common practice: a deposit takes minutes or hours; days would be a slipped unit."""
    for step in deposits(plan):
        assert 30 <= (step.dwell_s or 0.0) <= 8 * 3600


def test_every_tank_brings_its_hazards(plan: Plan) -> None:
    """Common practice: nothing but water is without them, and what is worn follows."""
    for step in plan.steps:
        if step.solution is not None and step.solution != "rinse":
            assert step.hazards, step.name
            assert step.ppe, step.name
