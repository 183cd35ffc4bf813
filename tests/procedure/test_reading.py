"""A procedure's file becomes plain figures, or all of its faults at once."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from runner.faults import Fault, InputFault
from runner.procedure.model import Check, Step
from runner.procedure.reading import check_file, load_procedure, parse_procedure
from runner.shop.model import Shop
from support.shops import ROUTE, small_route, small_shop

SHOP = small_shop()
HEAD = 'format = 1\ntitle = "Route"\nbasis = ["brass"]\n'
PLATE = (
    '[[step]]\nname = "Nickel"\ndoes = "plate"\ntank = "nickel"\npolarity = "cathodic"\n'
    'deposit = { metal = "nickel", thickness = "20 µm", current_density = "4 A/dm²" }\n'
)


def step(number: int) -> Step:
    """A step of the small route, counted from 1."""
    return small_route().steps[number - 1]


def faults(text: str, shop: Shop = SHOP) -> list[Fault]:
    """All that is wrong with a text."""
    with pytest.raises(InputFault) as caught:
        parse_procedure(text, shop, "route.toml")
    return list(caught.value.faults)


def test_the_head_is_read() -> None:
    """What is said of the whole route stands in plain words; HRC 45 counts as the stronger of two rows."""
    route = small_route()
    assert (route.title, route.revision) == ("Nickel and chromium on steel (invented)", "B")
    assert (route.basis, route.assembly) == (("low-carbon steel", "cast iron"), ())
    assert (route.existing, route.finish) == (("chromium", "nickel"), "Fe/Ni20b/Cr r")
    assert route.summary == "Strip, clean and plate."
    # ASTM B850, Table 1, read in a secondary copy: HRC 45 begins the row from 1501 MPa.
    assert route.strength_mpa == 1501


def test_an_assembly_stands_in_place_of_a_basis() -> None:
    """Metals that are joined are named together."""
    route = parse_procedure(HEAD.replace("basis", "assembly") + PLATE, SHOP)
    assert (route.basis, route.assembly) == ((), ("brass",))


def test_what_the_file_leaves_out_is_none_or_empty() -> None:
    """The least that a route may say."""
    route = parse_procedure(HEAD + PLATE, SHOP)
    assert (route.existing, route.finish, route.strength_mpa, route.summary) == (None, None, None, None)
    assert route.revision == "not stated"
    only = route.steps[0]
    assert (only.dwell, only.hazards, only.checks, only.sign, only.live_entry) == (None, (), (), None, False)


def test_steps_are_numbered_from_1() -> None:
    """As a reader counts them."""
    assert [each.number for each in small_route().steps] == [1, 2, 3, 4, 5, 6, 7]


def test_quantities_become_figures_in_the_unit_of_their_name() -> None:
    """A thou is 25.4 µm (NIST SP 811, appendix B), a minute 60 s."""
    deposit = step(6).deposit
    assert deposit is not None
    assert deposit.thickness_um == pytest.approx(0.8 * 25.4)
    assert (deposit.metal, deposit.type, deposit.current_density_a_dm2) == ("nickel", "bright", 4)
    assert (step(6).entry_voltage_v, step(6).next_within_s, step(6).current_within_s) == (3, 45, 120)
    assert step(1).voltage_v == 6
    wheel = step(3).wheel
    assert wheel is not None
    assert wheel.diameter_mm == pytest.approx(254)
    assert wheel.speed_m_s == 35


def test_a_dwell_is_one_time_or_a_window() -> None:
    """One time leaves the longest open."""
    window, one = step(1).dwell, step(2).dwell
    assert window is not None
    assert one is not None
    assert (window.least_s, window.most_s) == (180, 480)
    assert (one.least_s, one.most_s) == (300, None)


def test_energised_steps_know_their_density() -> None:
    """Current stands in the deposit, in the step, or is left to a voltage."""
    assert (step(6).energised, step(6).density_a_dm2) == (True, 4)
    assert (step(1).energised, step(1).density_a_dm2) == (True, None)
    assert (step(2).energised, step(2).density_a_dm2) == (False, None)
    etch = PLATE[: PLATE.index("deposit")].replace('"plate"', '"etch"')
    own = parse_procedure(HEAD + etch + 'current_density = "200 A/m²"\ndwell = "1 min"\n', SHOP)
    assert own.steps[0].density_a_dm2 == 2


def test_words_of_a_step_are_kept() -> None:
    """What it removes, is blasted with, warns of, asks for and is signed by."""
    assert step(1).removes == ("chromium",)
    assert step(4).media == "glass bead"
    assert (step(6).hazards, step(6).ppe, step(6).sign) == (("Live rack.",), ("face shield",), "chargehand")
    assert (step(2).why, step(2).do) == (
        "Oil under a deposit is a peel.",
        "Wipe every face under the surface.",
    )


def test_limits_of_a_check_stand_in_its_unit() -> None:
    """A limit may be written in any unit of its kind: 126 °F is 52.2 °C (NIST SP 811: 5/9 of it less 32)."""
    current, temperature, colour = step(6).checks
    assert (current.unit, current.low, current.high) == ("A", None, None)
    assert temperature.low == pytest.approx((126 - 32) * 5 / 9)
    assert temperature.high == 60
    assert (colour.choices, colour.accept, colour.when) == (("even", "burnt"), ("even",), "after")
    assert Check.model_validate({"ask": "Warm", "unit": "°F", "min": "140 °F"}).low == 140
    assert Check.model_validate({"ask": "Time", "unit": "min", "max": "1 h 20 min"}).high == 80


def test_a_check_is_asked_during_the_step_unless_it_says_when() -> None:
    """The file may leave the moment out."""
    assert Check.model_validate({"ask": "Current", "unit": "A"}).when == "during"


def test_an_oven_has_a_temperature() -> None:
    """A bake has no tank to say it."""
    window = step(7).temperature_c
    assert window is not None
    assert (window.low, window.high) == (190, 220)


def test_the_file_is_carried_with_its_hash(tmp_path: Path) -> None:
    """The record names what was worked to: the hash is of the bytes, whatever their line ends."""
    file = tmp_path / "route.toml"
    raw = (HEAD + PLATE).replace("\n", "\r\n").encode()
    file.write_bytes(raw)
    source = load_procedure(file, SHOP).source
    assert (source.file, source.text) == (str(file), HEAD + PLATE)
    assert source.sha256 == hashlib.sha256(raw).hexdigest()


def test_a_procedure_does_not_change() -> None:
    """Once read it stays as it is."""
    route = small_route()
    with pytest.raises(ValueError, match="frozen"):
        route.title = "Other"  # type: ignore[misc]  # the refusal is what is tested


def test_a_good_file_has_no_faults(tmp_path: Path) -> None:
    """`check_file` of a file that reads is an empty list."""
    file = tmp_path / "route.toml"
    file.write_text(ROUTE, encoding="utf-8")
    assert check_file(file, SHOP) == []


def test_a_missing_file_is_a_fault(tmp_path: Path) -> None:
    """So is one that is not there."""
    (told,) = check_file(tmp_path / "none.toml", SHOP)
    assert (told.file, told.message) == (str(tmp_path / "none.toml"), "no such file")


def test_bad_plating_is_no_fault_of_form() -> None:
    """Nickel plated anodically, twice, without a rinse or a clean, is for the rules to find."""
    text = HEAD + (PLATE * 2).replace("cathodic", "anodic")
    assert len(parse_procedure(text, SHOP).steps) == 2


def test_all_faults_of_a_file_are_told_in_the_order_of_its_lines() -> None:
    """A slip in one key hides none elsewhere, not even in the same step."""
    text = (
        'format = 1\ntitel = "Route"\nbasis = ["bras"]\n'
        '[[step]]\nname = "One"\ndoes = "clean"\ntank = "soack"\nnext_within = 45\n'
        '[[step]]\nname = "Two"\ndoes = "plate"\ntank = "nickel"\nsign = "me"\n'
        'deposit = { metal = "copper", thickness = "20", current_density = "4 A/dm²" }\n'
    )
    assert [(fault.line, fault.message) for fault in faults(text)] == [
        (1, '"title" is missing'),
        (2, 'unknown key "titel"'),
        (3, 'basis 1: "bras" is not a basis metal'),
        (4, 'step 1 "One": "dwell" is missing from a step in a tank'),
        (7, 'step 1 "One", tank: there is no tank "soack"'),
        (8, 'step 1 "One", next_within: a time needs a unit, found 45 alone'),
        (13, 'step 2 "Two", sign: "me" is not somebody who signs'),
        (14, 'step 2 "Two", deposit, thickness: a thickness needs a unit, found 20 alone'),
        (
            14,
            'step 2 "Two", deposit, metal: "watts-nickel" in tank "nickel" lays nickel down, not copper',
        ),
        (14, 'step 2 "Two", deposit: "polarity" is missing where current is used'),
    ]


def test_more_than_twenty_faults_are_counted() -> None:
    """The first twenty are told, then how many more there are."""
    text = HEAD + "".join(PLATE.replace('"nickel"\np', f'"t{number}"\np') for number in range(30))
    told = faults(text)
    assert len(told) == 21
    assert 'there is no tank "t19"' in told[19].message
    assert str(told[20]) == "route.toml: and 10 more; mend these first, then check again"


def test_names_are_shown_safely_in_faults() -> None:
    """A long name is cut where a fault repeats it."""
    text = HEAD + PLATE.replace('"Nickel"', f'"{"n" * 400}"').replace('"nickel"\np', f'"{"t" * 400}"\np')
    (told,) = faults(text)
    assert told.message == f'step 1 "{"n" * 59}…", tank: there is no tank "{"t" * 59}…"'


@pytest.mark.parametrize("word", ["2_000 µm", "0x14 µm", "20  µm x", "µm", "1e5000 µm"])
def test_figures_that_are_none_are_refused(word: str) -> None:
    """Only plain decimal figures with a unit are quantities."""
    told = faults(HEAD + PLATE.replace("20 µm", word))
    assert [fault.line for fault in told] == [9]
    assert "thickness" in told[0].message
