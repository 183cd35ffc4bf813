"""The solutions table: names, look-up, and what every row must hold to."""

from __future__ import annotations

import pytest

from runner.faults import InputFault
from runner.plating import cautions
from runner.plating.classes import ChemicalClass
from runner.plating.hazards import DEFER, H_STATEMENTS, h_statement
from runner.plating.solutions import SOLUTIONS, Solution, solution

NAMES = (
    "soak-cleaner",
    "electrocleaner",
    "sulfuric-dip",
    "hydrochloric-pickle",
    "watts-nickel",
    "wood-nickel-strike",
    "sulfamate-nickel",
    "acid-copper",
    "cyanide-copper-strike",
    "cyanide-copper",
    "alkaline-copper",
    "hexavalent-chromium",
    "hard-chromium",
    "trivalent-chromium",
    "chloride-zinc",
    "zincate",
    "nitric-desmut",
    "sulfuric-strip",
    "hydrochloric-chromium-strip",
    "caustic-chromium-strip",
    "cyanide-copper-strip",
    "bisulfite-neutraliser",
    "passivate",
    "rinse",
    "hot-rinse",
)
"""Names that shop files may rely on."""

WATER = {"rinse", "hot-rinse"}
ROWS = pytest.mark.parametrize("row", SOLUTIONS.values(), ids=lambda row: row.name)


@pytest.mark.parametrize("name", NAMES)
def test_every_promised_name_is_a_row(name: str) -> None:
    """A shop file that uses a promised name is never refused for it."""
    assert solution(name).name == name


def test_no_two_rows_share_a_name() -> None:
    """Gathering the families into one table loses none of them."""
    assert all(name == row.name for name, row in SOLUTIONS.items())
    assert len({row.title for row in SOLUTIONS.values()}) == len(SOLUTIONS)


@pytest.mark.parametrize(
    ("misspelt", "meant"),
    [
        ("watt-nickel", "watts-nickel"),
        ("Acid-Copper", "acid-copper"),
        ("hexavalent-chrome", "hexavalent-chromium"),
        ("wood", "wood-nickel-strike"),
    ],
)
def test_a_misspelt_name_is_answered_with_what_was_meant(misspelt: str, meant: str) -> None:
    """The remedy suggests the close ones."""
    with pytest.raises(InputFault, match=f"did you mean .*{meant}"):
        solution(misspelt)


def test_a_strange_name_is_answered_with_the_list() -> None:
    """Nothing close: all names, and the strange one without its controls."""
    with pytest.raises(InputFault, match="give one of soak-cleaner") as caught:
        solution("\x1b[2Jqqqq" * 100)
    assert "\x1b" not in str(caught.value)


@ROWS
def test_windows_rise_and_say_where_they_come_from(row: Solution) -> None:
    """Every figure of a row stands with a source."""
    for window in (row.temperature_c, row.ph, row.density_a_dm2, row.voltage_v):
        if window is not None:
            assert window.low < window.high
            assert window.source.text
    assert row.source.text
    assert row.known is row.source.known


@ROWS
def test_what_deposits_by_current_has_a_density_and_an_efficiency(row: Solution) -> None:
    """A timer cannot follow charge without either, and a dip has no use for them."""
    if row.ion is None:
        assert row.efficiency is None
        assert row.follows == "clock"
        return
    assert "cathodic" in row.polarity
    assert row.efficiency is not None
    assert row.efficiency.source is not None
    assert row.density_a_dm2 is not None


@ROWS
def test_current_is_run_by_density_or_by_voltage(row: Solution) -> None:
    """An energised tank has something to hold the meter against, another has nothing to."""
    assert row.energised is bool(row.polarity)
    assert row.energised is (row.density_a_dm2 is not None or row.voltage_v is not None)


@ROWS
def test_timers_follow_charge_for_all_deposits_but_chromium(row: Solution) -> None:
    """Chromium does not throw: its time stands."""
    if row.ion is not None:
        assert row.follows == ("clock" if row.ion.metal == "chromium" else "charge")


@ROWS
def test_every_caution_defers_to_the_data_sheet(row: Solution) -> None:
    """The last sentence on the operator's screen, wherever something can hurt."""
    if row.name == "rinse":
        assert row.hazards == ()
        return
    assert row.hazards[-1] == DEFER
    assert len(row.hazards) > 1
    for line in row.first_aid:
        assert line.endswith("show the safety data sheet.")


@ROWS
def test_every_confirmation_names_who_decides(row: Solution) -> None:
    """The data sheet for what burns or poisons, the local code for current."""
    for line in row.confirm:
        assert line.endswith(
            ("Follow the supplier's safety data sheet.", "The data sheet decides.", "local code decides.")
        )


@ROWS
def test_hazard_sentences_fit_the_screen(row: Solution) -> None:
    """Eighty columns less the word in front of them."""
    assert max((len(line) for line in row.hazards), default=0) <= 70


@ROWS
def test_signal_codes_and_gear_go_together(row: Solution) -> None:
    """Only water goes without a signal word, and nobody stands at a tank without goggles."""
    assert (row.signal is None) is (row.name in WATER)
    assert bool(row.h_statements) is (row.signal is not None)
    assert set(row.h_statements) <= set(H_STATEMENTS)
    assert "goggles" in row.ppe
    assert row.signal != "Danger" or row.first_aid


@ROWS
def test_water_has_no_class(row: Solution) -> None:
    """A rinse is of the class of what is carried into it."""
    if row.name in WATER:
        assert row.classes == frozenset()
    assert row.classes <= set(ChemicalClass)


@ROWS
def test_live_current_is_asked_for_where_there_is_current(row: Solution) -> None:
    """And nowhere else, or nobody would read it."""
    assert (cautions.LIVE_CURRENT in row.confirm) is row.energised


@pytest.mark.parametrize(
    ("name", "word"),
    [
        ("cyanide-copper", "CYANIDE"),
        ("cyanide-copper-strike", "CYANIDE"),
        ("cyanide-copper-strip", "CYANIDE"),
        ("hexavalent-chromium", "CHROMIC"),
        ("hard-chromium", "CHROMIC"),
        ("sulfuric-strip", "STRONG ACID"),
        ("nitric-desmut", "STRONG ACID"),
        ("zincate", "STRONG CAUSTIC"),
    ],
)
def test_what_can_kill_is_confirmed_in_capitals(name: str, word: str) -> None:
    """Strength shows in the wording."""
    confirm = " ".join(solution(name).confirm)
    assert word in confirm
    assert "safety data sheet" in confirm


@pytest.mark.parametrize("name", ["sulfuric-dip", "zinc-dip", "watts-nickel", "hot-rinse", "rinse"])
def test_a_weak_dip_is_not_worded_as_a_cyanide_tank(name: str) -> None:
    """No word in capitals where nothing kills."""
    assert not any(word.isupper() for line in solution(name).confirm for word in line.split())


@ROWS
def test_cyanide_and_acid_are_never_one_solution(row: Solution) -> None:
    """And what is of either class carries the code that says so."""
    assert not {ChemicalClass.CYANIDE, ChemicalClass.ACID} <= row.classes
    assert ("EUH032" in row.h_statements) is (ChemicalClass.CYANIDE in row.classes)
    gassing = {ChemicalClass.BISULFITE, ChemicalClass.HYPOCHLORITE, ChemicalClass.SULFIDE}
    assert ("EUH031" in row.h_statements) is bool(gassing & row.classes)


@ROWS
def test_only_the_dry_strips_are_entered_dry(row: Solution) -> None:
    """Water in strong sulfuric or nitric acid pits the steel."""
    assert row.wet is (row.name not in {"sulfuric-strip", "nitric-rack-strip"})
    assert bool(row.strips) is row.name.endswith("-strip")


def test_a_hazard_code_has_its_text() -> None:
    """An unknown code is sent to the data sheet."""
    assert h_statement("H314") == "H314: causes severe skin burns and eye damage"
    with pytest.raises(InputFault, match="supplier's safety data sheet"):
        h_statement("H999")
