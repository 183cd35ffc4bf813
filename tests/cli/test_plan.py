"""The sheet from the command line: its JSON, its text, what it refuses and what stays plain text."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.cli import call, raw_controls, small_folder
from support.shops import ROUTE, SHOP

PROMISED = (
    "number",
    "name",
    "tank",
    "current_a",
    "dwell_s",
    "charge_ah",
    "mean_thickness_um",
    "min_thickness_um",
    "next_within_s",
)
ONE = ("--area", "10 dm2", "--pieces", "1")


def test_the_json_has_every_promised_figure_of_every_step(
    read_only_shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Absent figures are null, never left out; steps count from 1."""
    file = read_only_shop / "procedures" / "stirrup-irons.toml"
    ran = call(capsys, "plan", str(file), *ONE, "--json")
    assert (ran.status, ran.err) == (0, "")
    plan = ran.json()
    assert [step["number"] for step in plan["steps"]] == list(range(1, len(plan["steps"]) + 1))
    assert all(name in step for step in plan["steps"] for name in PROMISED)
    assert plan["total_s"] == pytest.approx(sum(step["dwell_s"] or 0 for step in plan["steps"]))
    (nickel,) = [step for step in plan["steps"] if step["name"] == "Bright nickel"]
    # 4 A/dm² on 10 dm² (a density times an area).
    assert nickel["current_a"] == pytest.approx(40)
    (racked,) = [step for step in plan["steps"] if step["name"] == "Rack"]
    assert {racked[name] for name in PROMISED[2:]} == {None}


def test_every_route_that_comes_along_plans(read_only_shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two pieces of 4 dm² fit every demo tank: no refusal, no error."""
    files = sorted((read_only_shop / "procedures").glob("*.toml"))
    routes = [file for file in files if file.name not in {"shop.toml", "people.toml"}]
    assert len(routes) >= 10
    for file in routes:
        ran = call(capsys, "plan", str(file), "--area", "4 dm2", "--pieces", "2")
        assert (ran.status, ran.err) == (0, ""), file.name


def test_the_sheet_says_what_is_known_of_the_parts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As given, in its JSON and its text; left out the strength is the route's, the rest not known."""
    file = str(small_folder(tmp_path / "s"))
    said = ("--strength", "1250 MPa", "--hollow", "no", "--blind", "yes")
    plan = call(capsys, "plan", file, *ONE, *said, "--json").json()
    assert (plan["strength_mpa"], plan["hollow"], plan["blind"]) == (1250, False, True)
    told = call(capsys, "plan", file, *ONE, *said).out
    assert "strength: 1250 MPa; closed hollows: no; blind holes: yes" in told
    told = call(capsys, "plan", file, *ONE).out
    assert "strength: 1501 MPa; closed hollows: not known; blind holes: not known" in told


def test_a_strength_that_no_steel_has_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A slipped digit is said with the bounds."""
    file = str(small_folder(tmp_path / "s"))
    (error,) = call(capsys, "plan", file, *ONE, "--strength", "12500 MPa", "--json").errors()
    assert "12500 MPa" in error["message"]


def test_more_pieces_than_a_rack_holds_become_loads(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ten on racks of four are 4 + 4 + 2, and the last is set lower: 4 A/dm² x 2 dm² each."""
    file = small_folder(tmp_path / "s")
    args = ("plan", str(file), "--area", "2 dm2", "--pieces", "10", "--per-rack", "4")
    plan = call(capsys, *args, "--json").json()
    assert [load["pieces"] for load in plan["loads"]] == [4, 4, 2]
    assert [dict(load["current_a"])[6] for load in plan["loads"]] == pytest.approx([32, 32, 16])
    assert "loads of 2 × 4 + 2" in call(capsys, *args).out


def test_a_rack_of_the_shop_gives_its_pieces_and_tips(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Rack A holds 6 and bares 0.5 dm²: 6 x 1 dm² and the tips at 4 A/dm² are 26 A."""
    file = small_folder(tmp_path / "s")
    plan = call(capsys, "plan", str(file), "--area", "1 dm2", "--pieces", "8", "--rack", "A", "--json").json()
    assert [load["pieces"] for load in plan["loads"]] == [6, 2]
    assert plan["steps"][5]["current_a"] == pytest.approx(26)


def test_too_much_for_the_rectifier_is_a_no_with_its_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """100 dm² at 4 A/dm² ask 400 A of a rectifier of 300 A: exit 1, and the sheet with the reason."""
    file = small_folder(tmp_path / "s")
    ran = call(capsys, "plan", str(file), "--area", "100 dm2", "--pieces", "1")
    assert (ran.status, ran.err) == (1, "")
    assert "Bright nickel" in ran.out
    assert "400 A are more than R1 gives (300 A)" in ran.out
    plan = call(capsys, "plan", str(file), "--area", "100 dm2", "--pieces", "1", "--json")
    assert plan.status == 1
    assert plan.json()["steps"][5]["refusals"]


def test_too_much_for_the_tank_is_a_no(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A tank that says how much it takes at once is not overfilled."""
    shop = SHOP.replace('volume = "600 L"', 'volume = "600 L"\nmax_area = "9 dm²"')
    file = small_folder(tmp_path / "s", shop=shop)
    ran = call(capsys, "plan", str(file), *ONE)
    assert ran.status == 1
    assert "more than Bright nickel takes at once (9 dm²)" in ran.out


@pytest.mark.parametrize(
    ("options", "place", "said"),
    [
        (("--area", "-1 dm2", "--pieces", "1"), "--area", "negative"),
        (("--area", "0 dm2", "--pieces", "1"), "--area", "zero"),
        (("--area", "nan dm2", "--pieces", "1"), "--area", "no area"),
        (("--area", "inf dm2", "--pieces", "1"), "--area", "no area"),
        (("--area", "1e999 dm2", "--pieces", "1"), "--area", "finite"),
        (("--area", "1e308 dm2", "--pieces", "1"), None, "a piece's area"),
        (("--area", "1e300 dm2", "--pieces", "100000"), None, "a piece's area"),
        (("--area", "1e-300 dm2", "--pieces", "1"), None, "a piece's area"),
        (("--area", "10", "--pieces", "1"), "--area", "unit"),
        (("--area", "10 furlongs", "--pieces", "1"), "--area", "no unit of area"),
        (("--area", "10 A", "--pieces", "1"), "--area", "no unit of area"),
        (("--area", "1 dm2", "--pieces", "0"), None, "0 pieces"),
        (("--area", "1 dm2", "--pieces", "-3"), None, "-3 pieces"),
        (("--area", "1 dm2", "--pieces", "100000000000"), None, "100000000000 pieces"),
        (("--area", "1 dm2", "--pieces", "2.5"), None, "integer"),
        ((*ONE, "--ratio", "nan"), None, "thickness ratio"),
        ((*ONE, "--ratio", "0"), None, "thickness ratio"),
        ((*ONE, "--ratio", "-0.6"), None, "thickness ratio"),
        ((*ONE, "--ratio", "1.2"), None, "thickness ratio"),
        ((*ONE, "--ratio", "1e-300"), None, "thickness ratio"),
        ((*ONE, "--per-rack", "0"), None, "rack"),
        ((*ONE, "--tips", "-1 dm2"), "--tips", "negative"),
        ((*ONE, "--thieves", "inf dm2"), "--thieves", "no area"),
        ((*ONE, "--tips", "1e300 dm2"), None, "bare tips"),
        ((*ONE, "--rack", "Z"), "--rack", "no rack"),
        ((*ONE, "--colour", "red"), None, "--colour"),
        (("--pieces", "1"), None, "--area"),
        ((), None, "--area"),
        ((*ONE, "another.toml"), None, "another.toml"),
    ],
)
def test_an_order_that_is_none_is_refused(
    options: tuple[str, ...],
    place: str | None,
    said: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Exit 2, the option named where its text is wrong, the same on standard error and as JSON."""
    file = small_folder(tmp_path / "s")
    (error,) = call(capsys, "plan", str(file), *options, "--json").errors()
    assert error["file"] == place
    assert said in error["message"]


def test_everything_wrong_with_an_order_is_told_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nobody mends one figure to be told of the next."""
    file = small_folder(tmp_path / "s")
    args = ("--area", "1 dm2", "--pieces", "0", "--ratio", "3", "--per-rack", "0", "--json")
    assert len(call(capsys, "plan", str(file), *args).errors()) == 3


def test_markup_in_a_text_is_printed_as_it_stands(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Square brackets, emoji codes and links mean nothing to the sheet."""
    route = ROUTE.replace('"Soak clean"', '"[red]Soak[/] :skull:"').replace(
        'title = "Nickel', 'title = "[link=x]Ni[/link]'
    )
    file = small_folder(tmp_path / "s", route=route)
    ran = call(capsys, "plan", str(file), *ONE)
    assert ran.status == 0
    assert "[red]Soak[/] :skull:" in ran.out
    assert "[link=x]Ni[/link]" in ran.out
    assert raw_controls(ran.out) == []


def test_us_units_are_shown_where_the_shop_works_in_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """4 A/dm² are 37.2 A/ft² and 0.8 mil stays 0.8 mil (1 ft = 3.048 dm by definition, NIST SP 811)."""
    shop = SHOP.replace("format = 1", 'format = 1\nunits = "US"', 1)
    file = small_folder(tmp_path / "s", shop=shop)
    out = call(capsys, "plan", str(file), "--area", "1 ft2", "--pieces", "10").out
    assert "10 pieces of 1 ft²" in out
    assert "37.2 A/ft²" in out
    assert "0.8 mil" in out
    assert "µm" not in out
    assert "dm²" not in out
