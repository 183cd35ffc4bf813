"""What a finding says, in which order findings come, and for which metals a route is followed."""

from __future__ import annotations

from support.rule_shop import FE, STEEL, ZN, a_shop, check, without


def test_an_assembly_is_followed_for_each_of_its_metals() -> None:
    """The most delicate metal sets the route: what is right for steel eats its zinc."""
    found = check(STEEL, assembly=[FE, ZN])
    assert any("(on zinc die-cast)" in f.message for f in found if f.rule == "does-not-hold")
    assert not any("(on low-carbon steel)" in f.message for f in found if f.rule == "does-not-hold")


def test_a_finding_names_its_step_by_number_and_name() -> None:
    """And shows no escape that a name could carry."""
    found = check(without(STEEL, 4, 5))
    passive = next(f for f in found if f.rule == "plated-on-passive-metal")
    assert passive.step == 5
    assert passive.message.startswith("step 5 (plate watts-nickel): ")


def test_findings_come_worst_first_and_then_by_step() -> None:
    """Whatever order the rules are asked in."""
    found = check(without(STEEL, 0, 1, 4, 5, 10), shop=a_shop(r5={"rinse": {"stages": 1}}))
    assert [f.order for f in found] == sorted(f.order for f in found)
    assert len({f.severity for f in found}) > 1
