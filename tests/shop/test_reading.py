"""The shop's file becomes tanks, rectifiers and racks in plain figures."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.faults import InputFault
from runner.shop.finding import find_shop, shop_file
from runner.shop.model import MeterUncertainty
from runner.shop.reading import load_shop, parse_shop
from support.shops import SHOP, small_shop

HEAD = 'format = 1\ntitle = "Works"\n'


def test_a_tank_is_read_in_plain_figures() -> None:
    """140 °F is 60 °C (NIST SP 811: 5/9 of the figure less 32)."""
    tank = small_shop().tanks["nickel"]
    assert (tank.id, tank.title, tank.solution) == ("nickel", "Bright nickel", "watts-nickel")
    assert (tank.volume_l, tank.rectifier, tank.efficiency, tank.thickness_ratio) == (600, "R1", 0.955, 0.6)
    assert tank.temperature_c is not None
    assert tank.temperature_c.low == 52
    assert tank.temperature_c.high == pytest.approx(60)
    assert tank.ph is not None
    assert (tank.ph.low, tank.ph.high) == (3.8, 4.4)
    assert tank.current_density_a_dm2 is not None
    assert (tank.current_density_a_dm2.low, tank.current_density_a_dm2.high) == (2, 6)
    assert tank.contents_g_l == {"nickel sulfate": 280}
    assert (tank.hazards, tank.ppe) == (("Slippery floor.",), ("goggles", "apron"))


def test_a_rinse_is_read() -> None:
    """Its stages, its water and its neighbours."""
    tank = small_shop().tanks["rinse-1"]
    assert tank.rinse is not None
    assert (tank.rinse.stages, tank.rinse.flow_l_h) == (2, 120)
    assert tank.beside == ("soak", "nickel")


def test_a_tank_may_say_little() -> None:
    """Its name serves as title; whatever else it leaves out is none or empty."""
    tank = parse_shop(HEAD + '[tank.soak]\nsolution = "soak-cleaner"\n').tanks["soak"]
    assert tank.title == "soak"
    assert (tank.volume_l, tank.rectifier, tank.temperature_c, tank.ph) == (None, None, None, None)
    assert (tank.rinse, tank.beside, tank.hazards, tank.contents_g_l) == (None, (), (), {})


def test_a_rectifier_is_read() -> None:
    """Limits, meter and what it counts."""
    one, two = small_shop().rectifiers["R1"], small_shop().rectifiers["R2"]
    assert (one.max_current_a, one.max_voltage_v, one.ah_meter) == (300, 12, True)
    assert (two.max_current_a, two.max_voltage_v, two.ah_meter) == (100, None, False)


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("2 %", MeterUncertainty(0.02, of_range=False)),
        ("2% of reading", MeterUncertainty(0.02, of_range=False)),
        ("1 % of range", MeterUncertainty(0.01, of_range=True)),
    ],
)
def test_an_uncertainty_is_of_the_reading_or_of_the_range(written: str, expected: MeterUncertainty) -> None:
    """A bare share is of the reading."""
    shop = parse_shop(HEAD + f'[rectifier.R1]\nmax_current = "300 A"\nmeter_uncertainty = "{written}"\n')
    assert shop.rectifiers["R1"].meter_uncertainty == expected


def test_the_uncertainty_of_a_current_follows_the_reading_or_stays() -> None:
    """2 % of 48 A is 0.96 A; 1 % of a range of 100 A is 1 A at any reading; unstated is unknown."""
    shop = small_shop()
    assert shop.rectifiers["R1"].current_uncertainty_a(48) == pytest.approx(0.96)
    assert shop.rectifiers["R2"].current_uncertainty_a(48) == pytest.approx(1)
    bare = parse_shop(HEAD + '[rectifier.R1]\nmax_current = "300 A"\n').rectifiers["R1"]
    assert bare.current_uncertainty_a(48) is None


def test_racks_limits_and_units_are_read() -> None:
    """A rack's tips take current; limits left out are left to the program."""
    shop = small_shop()
    assert (shop.racks["A"].holds, shop.racks["A"].tips_dm2, shop.racks["A"].title) == (6, 0.5, "A")
    assert (shop.limits.next_within_s, shop.limits.read_again_s) == (60, None)
    assert shop.units == "SI"
    assert parse_shop(HEAD + 'units = "US"\n').units == "US"


def test_a_shop_is_loaded_from_its_folder(tmp_path: Path) -> None:
    """The file lies in the folder of procedures."""
    shop_file(tmp_path).parent.mkdir()
    shop_file(tmp_path).write_text(SHOP, encoding="utf-8")
    assert load_shop(find_shop(tmp_path, None, None)) == small_shop()


def test_all_faults_of_a_shop_are_told_at_once() -> None:
    """A fault in one table hides none in another, nor in the same one."""
    with pytest.raises(InputFault) as caught:
        parse_shop(
            'format = 1\ntitle = "Works"\n[rectifier.R1]\nmax_current = "300"\n'
            '[tank.nickel]\nsolution = "watts"\nrectifier = "R2"\nvolume = "0 L"\nbeside = ["soak"]\n',
            "shop.toml",
        )
    assert [(fault.file, fault.line) for fault in caught.value.faults] == [
        ("shop.toml", line) for line in (4, 6, 7, 8, 9)
    ]


def test_a_reference_to_a_faulty_table_is_no_second_fault() -> None:
    """A tank may name a rectifier that is there but at fault itself."""
    with pytest.raises(InputFault) as caught:
        parse_shop(
            HEAD + '[rectifier.R1]\nmax_current = "300"\n'
            '[tank.nickel]\nsolution = "watts-nickel"\nrectifier = "R1"\n'
        )
    assert len(caught.value.faults) == 1
