"""One sum of the trade from the command line: its JSON, its refusals, its text."""

from __future__ import annotations

import math

import pytest

from support.cli import call

DEPOSIT = ("reckon", "deposit", "--metal", "nickel", "--solution", "watts-nickel", "--area", "10 dm2")
RUN = (*DEPOSIT, "--current", "40 A", "--time", "30 min", "--efficiency", "0.955")


def test_a_deposit_is_what_faradays_law_gives(capsys: pytest.CaptureFixture[str]) -> None:
    """40 A for half an hour are 20 A·h; the rest by hand from Faraday's law.

    CODATA 2018 (F = 96 485.33 C/mol), IUPAC standard atomic weight of nickel 58.6934, density 8.908 g/cm³:
    20 A·h x 3600 x 58.6934 / (2 x 96 485.33) x 0.955 = 20.914 g, over 1000 cm² 23.478 µm.
    """
    ran = call(capsys, *RUN, "--json")
    assert (ran.status, ran.err) == (0, "")
    answer = ran.json()
    assert answer["charge_ah"] == pytest.approx(20.0)
    assert answer["current_density_a_dm2"] == pytest.approx(4.0)
    assert answer["efficiency"] == 0.955
    assert answer["mass_g"] == pytest.approx(20.914, abs=0.001)
    assert answer["mean_thickness_um"] == pytest.approx(23.478, abs=0.002)


def test_a_thickness_in_place_of_a_time_gives_the_dwell(capsys: pytest.CaptureFixture[str]) -> None:
    """The same sum turned round: 23.478 µm take the half hour again (Faraday's law, as above)."""
    args = (*DEPOSIT, "--current", "40 A", "--thickness", "23.478 um", "--efficiency", "0.955", "--json")
    assert call(capsys, *args).json()["dwell_s"] == pytest.approx(1800, abs=0.2)


def test_another_valence_takes_another_charge(capsys: pytest.CaptureFixture[str]) -> None:
    """Copper from its one-valent ion takes half the charge of the two-valent (Faraday's law)."""
    args = ("reckon", "deposit", "--metal", "copper", "--solution", "acid-copper", "--area", "10 dm2")
    rest = ("--current", "30 A", "--time", "1 h", "--efficiency", "1", "--json")
    two = call(capsys, *args, *rest).json()["mass_g"]
    one = call(capsys, *args, *rest, "--valence", "1").json()["mass_g"]
    assert one == pytest.approx(2 * two)


def test_rinse_water_comes_exactly_and_roughly(capsys: pytest.CaptureFixture[str]) -> None:
    """1 + q + q² + q³ = 1000 has the root 9.642 (mass balance); the cube root of 1000 is 10."""
    answer = call(capsys, "reckon", "rinse", "--ratio", "1000", "--stages", "3", "--json").json()
    q = answer["water_per_dragout"]
    assert q == pytest.approx(9.642, abs=0.001)
    assert 1 + q + q**2 + q**3 == pytest.approx(1000)
    assert answer["approximation"] == pytest.approx(10.0)


def test_a_bake_says_hours_heat_haste_and_source(capsys: pytest.CaptureFixture[str]) -> None:
    """ASTM B850, Table 1, read in a secondary copy: 1401 to 1500 MPa: 16 h at 190 to 220 °C within 4 h."""
    answer = call(capsys, "reckon", "bake", "--strength", "1450 MPa", "--json").json()
    assert answer["hours"] == 16
    assert answer["temperature_c"] == {"min": 190, "max": 220}
    assert answer["start_within_h"] == 4
    assert "B850" in answer["source"]
    assert answer["known"]


def test_a_wheel_turns_as_its_rim_runs(capsys: pytest.CaptureFixture[str]) -> None:
    """35 m/s round a circle of 200 mm: 60 x 35 / (pi x 0.2) turns a minute, 3342 (geometry)."""
    answer = call(capsys, "reckon", "wheel", "--diameter", "200 mm", "--speed", "35 m/s", "--json").json()
    assert answer["rpm"] == pytest.approx(60 * 35 / (math.pi * 0.2))
    assert round(answer["rpm"]) == 3342


def test_a_finish_is_taken_apart(capsys: pytest.CaptureFixture[str]) -> None:
    """ISO 1456: Fe/Ni30d Cr mp is steel, 30 µm of double nickel, microporous chromium of 0.3 µm."""
    answer = call(capsys, "reckon", "finish", "Fe/Ni30d Cr mp", "--json").json()
    assert answer["basis"] == "steel"
    assert answer["layers"] == [
        {"metal": "nickel", "thickness_um": 30, "type": "double"},
        {"metal": "chromium", "thickness_um": 0.3, "type": "microporous"},
    ]


@pytest.mark.parametrize(
    "args",
    [
        RUN,
        ("reckon", "rinse", "--ratio", "1000", "--stages", "3"),
        ("reckon", "bake", "--strength", "HRC 45"),
        ("reckon", "wheel", "--diameter", "8 in", "--speed", "7500 ft/min"),
        ("reckon", "finish", "Fe/Cu20a/Ni20b/Cr r"),
    ],
    ids=["deposit", "rinse", "bake", "wheel", "finish"],
)
def test_without_json_each_sum_is_read_by_people(
    args: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    """One figure a line, named, and no JSON."""
    ran = call(capsys, *args)
    assert (ran.status, ran.err) == (0, "")
    assert len(ran.out.splitlines()) >= 2
    assert "{" not in ran.out


@pytest.mark.parametrize(
    ("args", "place", "said"),
    [
        ((*DEPOSIT, "--current", "40", "--time", "1 h"), "--current", "unit"),
        ((*DEPOSIT, "--current", "-4 A", "--time", "1 h"), "--current", "negative"),
        ((*DEPOSIT, "--current", "0 A", "--time", "1 h"), "--current", "zero"),
        ((*DEPOSIT, "--current", "nan A", "--time", "1 h"), "--current", "no current"),
        ((*DEPOSIT, "--current", "1e999 A", "--time", "1 h"), "--current", "finite"),
        ((*DEPOSIT, "--current", "40 dm2", "--time", "1 h"), "--current", "no unit of current"),
        ((*DEPOSIT, "--current", "4 A"), None, "a time or a thickness"),
        ((*DEPOSIT, "--current", "4 A", "--time", "1 h", "--efficiency", "2"), None, "efficiency"),
        ((*DEPOSIT, "--current", "4 A", "--time", "1 h", "--efficiency", "nan"), None, "efficiency"),
        ((*DEPOSIT, "--current", "4 A", "--time", "1 h", "--valence", "9"), None, "valence"),
        ((*DEPOSIT, "--current", "1e308 A", "--time", "9e300 h"), None, ""),
        (("reckon", "rinse", "--ratio", "nan", "--stages", "3"), None, "ratio"),
        (("reckon", "rinse", "--ratio", "0.5", "--stages", "3"), None, "ratio"),
        (("reckon", "rinse", "--ratio", "1000", "--stages", "0"), None, "stages"),
        (("reckon", "rinse", "--ratio", "1000", "--stages", "900000"), None, "stages"),
        (("reckon", "bake", "--strength", "HRC 99"), "--strength", ""),
        (("reckon", "wheel", "--diameter", "0 mm", "--speed", "35 m/s"), "--diameter", "zero"),
        (("reckon", "finish", "Fe/Xx30"), None, "Xx"),
        (("reckon", "finish", ""), None, ""),
        (("reckon", "rinse"), None, "--ratio"),
        (("reckon", "polish"), None, "polish"),
    ],
)
def test_a_wrong_figure_is_refused_with_what_to_write(
    args: tuple[str, ...], place: str | None, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 2, the option named, the same on standard error and as JSON."""
    (error,) = call(capsys, *args, "--json").errors()
    assert error["file"] == place
    assert said in error["message"]


@pytest.mark.parametrize(
    ("metal", "solution", "suggested"),
    [
        ("nickle", "watts-nickel", "nickel"),
        ("nickel", "wats-nickel", "watts-nickel"),
        ("copper", "watts-nickel", "nickel"),
    ],
)
def test_an_unknown_name_brings_the_one_that_was_meant(
    metal: str, solution: str, suggested: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A slip of the keyboard costs no look into a manual."""
    args = ("--area", "1 dm2", "--current", "4 A", "--time", "1 h", "--json")
    (error,) = call(capsys, "reckon", "deposit", "--metal", metal, "--solution", solution, *args).errors()
    assert suggested in error["remedy"]
