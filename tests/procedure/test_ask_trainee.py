"""Questions that a trainee answers before a step: how a route says them, and what they leave alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.cli.example import make_shop
from runner.plain_data import to_data
from runner.plating.hazards import Signal
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure, parse_procedure
from runner.shop.reading import load_shop
from support.shops import small_shop

ROUTE = """format = 1
title = "Route (invented)"
basis = ["low-carbon steel"]

[[step]]
name = "Nickel"
does = "plate"
tank = "nickel"
deposit = { metal = "nickel", type = "bright", thickness = "20 µm", current_density = "4 A/dm²" }
polarity = "cathodic"
"""
ASKED = """ask_trainee = [
  { ask = "What first?", choices = ["fan", "current"], right = "fan", because = "The mist harms." },
]
"""
DANGER: Signal = "Danger"


def test_a_question_is_read_as_it_is_written() -> None:
    """Question, answers, the right one and why, in the order of the file."""
    (step,) = parse_procedure(ROUTE + ASKED, small_shop()).steps
    (asked,) = step.ask_trainee
    assert (asked.ask, asked.choices, asked.right, asked.because) == (
        "What first?",
        ("fan", "current"),
        "fan",
        "The mist harms.",
    )


def test_the_plan_is_the_same_with_and_without_it() -> None:
    """It is practice's alone: no figure and no key of the sheet changes but the hash of the file."""
    shop = small_shop()
    plain, asked = (
        compute(parse_procedure(text, shop), shop, Order(4.0, 2)) for text in (ROUTE, ROUTE + ASKED)
    )
    sheets = [dict(to_data(plan), procedure_sha256="") for plan in (plain, asked)]
    assert sheets[0] == sheets[1]


@pytest.mark.parametrize("name", ["stirrup-irons.toml", "rosettes.toml"])
def test_shipped_questions_stand_before_steps_that_can_hurt(name: str, tmp_path: Path) -> None:
    """Two routes that come along ask, and each question stands at a tank marked Danger."""
    make_shop(tmp_path / "shop")
    shop = load_shop(tmp_path / "shop")
    procedure = load_procedure(tmp_path / "shop" / "procedures" / name, shop)
    plan = compute(procedure, shop, Order(4.0, 2))
    asking = [step for step in procedure.steps if step.ask_trainee]
    assert asking
    assert all(plan.step(step.number).signal == DANGER for step in asking)
    assert all("data sheet" in asked.because for step in asking for asked in step.ask_trainee)
