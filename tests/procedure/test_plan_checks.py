"""What a check of a planned step expects, and between which limits: from itself, the plan, or the tank."""

from __future__ import annotations

import pytest

from runner.procedure.plan import Order, compute
from runner.procedure.reading import parse_procedure
from runner.procedure.sheet import PlannedCheck
from runner.shop.reading import parse_shop
from support.shops import SHOP

ROUTE = """\
format = 1
title = "Checks (invented)"
basis = ["copper"]

[[step]]
name = "Nickel"
does = "plate"
tank = "nickel"
deposit = {{ metal = "nickel", type = "bright", thickness = "20 µm", current_density = "4 A/dm²" }}
polarity = "cathodic"
live_entry = true
entry_voltage = "3 V"
check = [{check}]

[[step]]
name = "Gauge"
does = "measure"
check = [{{ ask = "Nickel", unit = "{unit}", when = "during" }}]
"""


def asked(check: str, unit: str = "µm") -> PlannedCheck:
    """The check, planned for 10 dm² at the nickel tank of the small shop."""
    shop = parse_shop(SHOP)
    plan = compute(parse_procedure(ROUTE.format(check=check, unit=unit), shop), shop, Order(10.0, 1))
    return plan.step(1).checks[0]


def figures(check: PlannedCheck) -> tuple[float | None, float | None, float | None]:
    """Least, expected, greatest."""
    return check.low, check.planned, check.high


def test_amperes_in_the_step_are_a_reading_of_the_ammeter() -> None:
    """40 A planned; the tank's 2 to 6 A/dm² on 10 dm² are its limits of 20 to 60 A."""
    check = asked('{ ask = "Rectifier current", unit = "A", when = "during" }')
    assert figures(check) == pytest.approx((20, 40, 60))
    assert check.reads == "current"


@pytest.mark.parametrize("when", ["before", "after"])
def test_amperes_before_or_after_it_are_none(when: str) -> None:
    """No current of this step flows then."""
    assert asked(f'{{ ask = "Current", unit = "A", when = "{when}" }}').reads is None


@pytest.mark.parametrize(
    ("check", "expected"),
    [
        ('{ ask = "pH", unit = "pH", when = "before" }', (3.8, 4.1, 4.4)),
        # 140 °F are 60 °C: (140 - 32) / 1.8 (NIST SP 811).
        ('{ ask = "T", unit = "°C", when = "before" }', (52, 56, 60)),
        # 52 °C are 125.6 °F.
        ('{ ask = "T", unit = "°F", when = "before" }', (125.6, 132.8, 140)),
        ('{ ask = "V", unit = "V", when = "during" }', (None, 3, None)),
        ('{ ask = "Level", unit = "mm", when = "before", min = 5, max = 15 }', (5, 10, 15)),
        ('{ ask = "Level", unit = "mm", when = "before", min = 5 }', (5, 5, None)),
        ('{ ask = "Level", unit = "mm", when = "before", max = 15 }', (None, 15, 15)),
        ('{ ask = "Level", unit = "mm", when = "before" }', (None, None, None)),
    ],
)
def test_limits_come_from_the_check_or_the_tank(
    check: str, expected: tuple[float | None, float | None, float | None]
) -> None:
    """The middle of a window is expected where nothing else is known."""
    assert figures(asked(check)) == pytest.approx(expected)


def test_the_checks_own_limits_go_before_the_tanks() -> None:
    """And an expectation outside them moves to their middle: 40 A lie outside 41 to 45 A."""
    check = asked('{ ask = "Rectifier current", unit = "A", when = "during", min = "41 A", max = "45 A" }')
    assert figures(check) == pytest.approx((41, 43, 45))


@pytest.mark.parametrize(("unit", "expected"), [("µm", 20.0), ("mil", 20 / 25.4)])
def test_a_gauge_is_expected_to_find_what_was_plated(unit: str, expected: float) -> None:
    """The sum of the thicknesses asked for so far, in the check's own unit (1 mil = 25.4 µm, NIST SP 811)."""
    shop = parse_shop(SHOP)
    route = ROUTE.format(check='{ ask = "pH", unit = "pH", when = "before" }', unit=unit)
    plan = compute(parse_procedure(route, shop), shop, Order(10.0, 1))
    assert plan.step(2).checks[0].planned == pytest.approx(expected)


def test_choices_without_a_list_of_good_ones_are_all_in_order() -> None:
    """A choice that nothing depends on."""
    check = asked('{ ask = "Lid", when = "before", choices = ["on", "off"] }')
    assert check.accept == ("on", "off")
    assert figures(check) == (None, None, None)
