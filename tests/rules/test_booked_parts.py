"""What the rules make of what booking says of the parts, and of what it leaves open.

That cups carry two to six times what a poorly drained sheet does is read off the Metal Finishing Guidebook
2012-13, Table II: 8 to 24 US gallons per 1000 ft² against 4. The rest is common practice.
"""

from __future__ import annotations

import pytest

from runner.procedure.rules.check import check_procedure
from runner.procedure.rules.rule import BatchFacts, Finding
from runner.procedure.surface_rinse import dragged_l_h
from support.rule_shop import DIP_STEEL, SHOP, SOAK, STEEL, STRONG, ZINC, Step, a_shop, check, route, twin

SAID = BatchFacts(3.0, 4, hollow=False, blind=False)
NOT_SAID = BatchFacts(3.0, 4)


def about(findings: tuple[Finding, ...], rule: str) -> list[tuple[str, str]]:
    """Severity and remedy of what one rule found."""
    return [(str(one.severity), one.remedy) for one in findings if one.rule == rule]


@pytest.mark.parametrize("steps", [STRONG, SOAK])
def test_hollows_that_nobody_spoke_of_are_asked_of_the_chargehand(steps: list[Step]) -> None:
    """Once a batch, where it comes into an oven or a hot tank; never of a route without parts."""
    twin("hollow-not-known", "doubt", check(steps, facts=NOT_SAID), check(steps, facts=SAID))
    ((_, remedy),) = about(check(steps, facts=NOT_SAID), "hollow-not-known")
    assert "Not known: ask the chargehand" in remedy
    assert not about(check(steps), "hollow-not-known")
    assert not about(check(steps, facts=BatchFacts(3.0, 4, hollow=True)), "hollow-not-known")


def test_parts_that_stay_cold_are_not_asked_about_hollows() -> None:
    """A cold dip and a cold rinse, under the heat at which hollows burst, are no matter."""
    assert not about(check(DIP_STEEL, facts=NOT_SAID), "hollow-not-known")


def test_blind_holes_are_flushed_between_cyanide_and_acid() -> None:
    """Said, each place is named; not said, it is asked once; without holes the rinse's own figures decide."""
    holes = BatchFacts(3.0, 4, hollow=False, blind=True)
    twin("cups-carry-over", "doubt", check(ZINC, "zinc die-cast", facts=holes), check(ZINC, "zinc die-cast"))
    places = about(check(ZINC, "zinc die-cast", facts=holes), "cups-carry-over")
    assert len(places) == 2
    assert all(remedy.startswith("Tip and flush") for _, remedy in places)
    ((_, asked),) = about(check(ZINC, "zinc die-cast", facts=NOT_SAID), "cups-carry-over")
    assert "Not known: ask the chargehand" in asked
    assert not about(check(ZINC, "zinc die-cast", facts=SAID), "cups-carry-over")


def test_the_neutraliser_is_no_enemy_of_the_chromium_before_it() -> None:
    """A hole that brings chromic acid into bisulfite is what the bisulfite is for."""
    assert not about(check(STEEL, facts=BatchFacts(3.0, 4, blind=True)), "cups-carry-over")


def test_cups_carry_six_times_what_a_sheet_does() -> None:
    """24 US gallons per 1000 ft² against 4: so much more has each rinse to thin."""
    assert dragged_l_h(10.0, cups=True) == pytest.approx(6 * dragged_l_h(10.0))
    flat, cups = BatchFacts(3.0, 4, blind=False), BatchFacts(3.0, 4, blind=True)
    assert cups.carried_l_h == pytest.approx(6 * flat.carried_l_h)
    assert BatchFacts(3.0, 4).carried_l_h == flat.carried_l_h


def test_a_rinse_enough_for_sheets_may_be_too_little_for_cups() -> None:
    """The same route among the same tanks: more drag-out, and the rules see it."""
    thrifty = a_shop(r5={"rinse": {"stages": 2, "flow": "6 L/h"}})
    flat = BatchFacts(5.0, 2, hollow=False, blind=False)
    cups = BatchFacts(5.0, 2, hollow=False, blind=True)
    twin(
        "rinsed-too-little",
        "doubt",
        check(STEEL, shop=thrifty, facts=cups),
        check(STEEL, shop=thrifty, facts=flat),
    )


def test_a_strength_from_the_booking_asks_for_the_bake_of_its_row() -> None:
    """ASTM B850, Table 1 (read in a secondary copy): 1550 MPa wants 18 h, and 900 MPa wants none."""
    strong = check_procedure(route(STEEL, "high-carbon steel"), SHOP, SAID, strength_mpa=1550)
    ((severity, remedy),) = about(strong, "no-relief-bake")
    assert (severity, "18 h" in remedy) == ("danger", True)
    weak = check_procedure(route(STEEL, "high-carbon steel"), SHOP, SAID, strength_mpa=900)
    assert not about(weak, "no-relief-bake")
    assert not about(weak, "strength-not-known")


def test_hardened_steel_without_a_strength_is_asked_of_the_chargehand() -> None:
    """Empty is not known: never taken for weak."""
    ((severity, remedy),) = about(
        check_procedure(route(STEEL, "high-carbon steel"), SHOP, SAID), "strength-not-known"
    )
    assert (severity, "ask the chargehand" in remedy) == ("doubt", True)
