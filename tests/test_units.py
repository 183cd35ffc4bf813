"""The trade's quantities as text: every spelling that files and options may use, and what is written.

The factors themselves are checked against a units library elsewhere; here they are worked out from the
definitions (1 in = 25.4 mm, 1 ft = 12 in, 1 US gal = 231 in³, 1 oz = 28.349523125 g, 1 ksi = 6.894757 MPa:
NIST SP 811, appendix B).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from runner.faults import InputFault
from runner.units import _KINDS, Kind, System, read, to_unit, write, write_clock, write_time

GALLON_L = 231 * 0.254**3

SPELLINGS: list[tuple[str, Kind, float]] = [
    ("30 µm", Kind.THICKNESS, 30),
    ("30 um", Kind.THICKNESS, 30),
    ("30 μm", Kind.THICKNESS, 30),  # a Greek mu, as some keyboards give it
    ("1.2 mil", Kind.THICKNESS, 30.48),
    ("0.001 in", Kind.THICKNESS, 25.4),
    ("0.02 mm", Kind.THICKNESS, 20),
    ("4 A/dm²", Kind.DENSITY, 4),
    ("4 A/dm2", Kind.DENSITY, 4),
    ("400 A/m²", Kind.DENSITY, 4),
    ("400 A/m2", Kind.DENSITY, 4),
    ("40 A/ft²", Kind.DENSITY, 40 / 3.048**2),
    ("40 A/ft2", Kind.DENSITY, 40 / 3.048**2),
    ("40 ASF", Kind.DENSITY, 40 / 3.048**2),
    ("12 dm²", Kind.AREA, 12),
    ("12 dm2", Kind.AREA, 12),
    ("1.3 ft²", Kind.AREA, 1.3 * 3.048**2),
    ("200 in2", Kind.AREA, 200 * 0.254**2),
    ("35 cm2", Kind.AREA, 0.35),
    ("0.2 m2", Kind.AREA, 20),
    ("60 °C", Kind.TEMPERATURE, 60),
    ("60 C", Kind.TEMPERATURE, 60),
    ("140 °F", Kind.TEMPERATURE, 60),
    ("32 F", Kind.TEMPERATURE, 0),
    ("-40 °F", Kind.TEMPERATURE, -40),
    ("600 L", Kind.VOLUME, 600),
    ("600 l", Kind.VOLUME, 600),
    ("0.6 m³", Kind.VOLUME, 600),
    ("160 US gal", Kind.VOLUME, 160 * GALLON_L),
    ("160 gal", Kind.VOLUME, 160 * GALLON_L),
    ("48 A", Kind.CURRENT, 48),
    ("250 mA", Kind.CURRENT, 0.25),
    ("6 V", Kind.VOLTAGE, 6),
    ("30 g/L", Kind.CONCENTRATION, 30),
    ("30 g/l", Kind.CONCENTRATION, 30),
    ("4 oz/gal", Kind.CONCENTRATION, 4 * 28.349523125 / GALLON_L),
    ("30 s", Kind.TIME, 30),
    ("5 min", Kind.TIME, 300),
    ("1 h 20 min", Kind.TIME, 4800),
    ("1 h 20 min 5 s", Kind.TIME, 4805),
    ("2 d", Kind.TIME, 172_800),
    ("1500 MPa", Kind.STRENGTH, 1500),
    ("1500 N/mm²", Kind.STRENGTH, 1500),
    ("218 ksi", Kind.STRENGTH, 218 * 6.894757293168),
    ("10 in", Kind.LENGTH, 254),
    ("200 mm", Kind.LENGTH, 200),
    ("35 m/s", Kind.SPEED, 35),
    ("7500 ft/min", Kind.SPEED, 38.1),
    ("120 L/h", Kind.FLOW, 120),
    ("2 L/min", Kind.FLOW, 120),
    ("1 gal/min", Kind.FLOW, 60 * GALLON_L),
    ("18.6 Ah", Kind.CHARGE, 18.6),
    ("18.6 A·h", Kind.CHARGE, 18.6),
    ("30 Amin", Kind.CHARGE, 0.5),
    ("2 %", Kind.SHARE, 0.02),
    ("12 g", Kind.MASS, 12),
]


@pytest.mark.parametrize(("text", "kind", "value"), SPELLINGS)
def test_every_spelling_is_read(text: str, kind: Kind, value: float) -> None:
    """With a space, without one, with a non-breaking or a narrow one, and with more around it."""
    assert read(text, kind) == pytest.approx(value)
    for space in ("", "\u00a0", "\u202f", "  "):
        assert read(text.replace("US gal", "US_gal").replace(" ", space).replace("_", " "), kind) == read(
            text, kind
        )
    assert read(f"  {text} ", kind) == read(text, kind)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("+5 µm", 5),
        ("5. µm", 5),
        (".5 µm", 0.5),
        ("5e1 µm", 50),
        ("5E-1 µm", 0.5),
        ("0 µm", 0),
        ("007 µm", 7),
    ],
)
def test_numbers_are_read_as_they_are_typed(text: str, value: float) -> None:
    """Signs, bare points and exponents are numbers too."""
    assert read(text, Kind.THICKNESS) == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("1h20min", 4800), ("1 h20 min", 4800), ("0.5h 30s", 1830), ("1d1h", 90_000), ("90min", 5400)],
)
def test_times_of_several_parts_need_no_spaces(text: str, seconds: float) -> None:
    """What a hand types at the line is read, however close it stands."""
    assert read(text, Kind.TIME) == seconds


@given(st.sampled_from(Kind), st.data(), st.floats(1e-3, 1e6))
def test_every_unit_is_read_as_it_is_converted(kind: Kind, data: st.DataObject, value: float) -> None:
    """Reading a figure in any unit, and turning the result back into that unit, gives the figure."""
    unit = data.draw(st.sampled_from(sorted(_KINDS[kind].factors)))
    assert to_unit(read(f"{value!r} {unit}", kind), kind, unit) == pytest.approx(value)


@given(st.sampled_from(Kind), st.sampled_from(["SI", "US"]), st.floats(1e-3, 1e6), st.integers(2, 6))
def test_what_is_written_can_be_read(kind: Kind, system: System, value: float, digits: int) -> None:
    """In either system, to the digits asked for; a time under an hour, to the second."""
    assume(kind not in {Kind.TIME, Kind.TEMPERATURE})
    # Nine decimals are the most that are written, so the smallest figures keep fewer digits.
    assert read(write(value, kind, system, digits), kind) == pytest.approx(
        value, rel=10 ** (1 - digits), abs=1e-6
    )


@given(st.floats(-90, 500), st.sampled_from(["SI", "US"]))
def test_temperatures_read_back_to_the_degree(celsius: float, system: System) -> None:
    """Below zero too, with a sign that can be read again."""
    assert read(write(celsius, Kind.TEMPERATURE, system, 4), Kind.TEMPERATURE) == pytest.approx(
        celsius, abs=0.5
    )


@given(st.integers(0, 3599))
def test_times_under_an_hour_read_back(seconds: int) -> None:
    """A time written in minutes and seconds is that many again."""
    assert read(write_time(seconds), Kind.TIME) == seconds


WRITTEN: list[tuple[float, Kind, str, str]] = [
    (23.478, Kind.THICKNESS, "23.5 µm", "0.924 mil"),
    (4.0, Kind.DENSITY, "4 A/dm²", "37.2 A/ft²"),
    (12.0, Kind.AREA, "12 dm²", "1.29 ft²"),
    (60.0, Kind.TEMPERATURE, "60 °C", "140 °F"),
    (-17.78, Kind.TEMPERATURE, "-17.8 °C", "-0.004 °F"),
    (600.0, Kind.VOLUME, "600 L", "159 US gal"),
    (0.04567, Kind.CURRENT, "0.0457 A", "0.0457 A"),
    (30.0, Kind.CONCENTRATION, "30 g/L", "4.01 oz/gal"),
    (1500.0, Kind.STRENGTH, "1500 MPa", "218 ksi"),
    (254.0, Kind.LENGTH, "254 mm", "10 in"),
    (38.1, Kind.SPEED, "38.1 m/s", "7500 ft/min"),
    (120.0, Kind.FLOW, "120 L/h", "31.7 US gal/h"),
    (18.64, Kind.CHARGE, "18.6 A·h", "18.6 A·h"),
    (0.02, Kind.SHARE, "2 %", "2 %"),
    (12345.6, Kind.MASS, "12346 g", "435 oz"),
    (99.96, Kind.CURRENT, "100 A", "100 A"),
    (0.0, Kind.CURRENT, "0 A", "0 A"),
    (-1e-12, Kind.CURRENT, "0 A", "0 A"),
    (4800.0, Kind.TIME, "1 h 20 min", "1 h 20 min"),
]


@pytest.mark.parametrize(("value", "kind", "si", "us"), WRITTEN)
def test_quantities_are_written_to_three_figures(value: float, kind: Kind, si: str, us: str) -> None:
    """In either system, without an exponent, and never with fewer figures before the point."""
    assert write(value, kind) == si
    assert write(value, kind, "US") == us


@pytest.mark.parametrize(("digits", "text"), [(1, "23 µm"), (2, "23 µm"), (3, "23.5 µm"), (5, "23.478 µm")])
def test_the_figures_asked_for_are_written(digits: int, text: str) -> None:
    """Digits are significant figures; whole numbers keep all of theirs."""
    assert write(23.478, Kind.THICKNESS, "SI", digits) == text


UNREADABLE: list[tuple[object, Kind, str]] = [
    ("30", Kind.THICKNESS, "a thickness needs a unit, found 30 alone"),
    (30, Kind.THICKNESS, "a thickness needs a unit, found 30 alone"),
    (30.5, Kind.AREA, "an area needs a unit, found 30.5 alone"),
    (True, Kind.CURRENT, "a current needs a unit, found True alone"),
    (None, Kind.CURRENT, "a current needs a unit, found None alone"),
    ("", Kind.THICKNESS, "'' is no thickness"),
    ("thick", Kind.THICKNESS, "'thick' is no thickness"),
    ("µm 30", Kind.THICKNESS, "'µm 30' is no thickness"),
    ("30 A", Kind.THICKNESS, "'A' is no unit of thickness"),
    ("30 µM", Kind.THICKNESS, "'µM' is no unit of thickness"),
    ("1,000 µm", Kind.THICKNESS, "',000 µm' is no unit of thickness"),
    ("3 4 µm", Kind.THICKNESS, "'4 µm' is no unit of thickness"),
    ("-3 µm", Kind.THICKNESS, "'-3 µm' is a negative thickness"),
    ("1e999 µm", Kind.THICKNESS, "'1e999 µm' is not a finite thickness"),
    ("nan µm", Kind.THICKNESS, "'nan µm' is no thickness"),
    ("inf µm", Kind.THICKNESS, "'inf µm' is no thickness"),
    ("30 \x1b[31m", Kind.THICKNESS, "'<U+001B>[31m' is no unit of thickness"),
    ("5", Kind.TIME, "'5' is no time with a unit"),
    ("5 mins", Kind.TIME, "'5 mins' is no time with a unit"),
    ("5 min 3", Kind.TIME, "'5 min 3' is no time with a unit"),
    ("x 5 min", Kind.TIME, "'x 5 min' is no time with a unit"),
    ("-5 min", Kind.TIME, "'-5 min' is a negative time"),
    ("5 min -3 s", Kind.TIME, "'5 min -3 s' is a negative time"),
    ("1e400 s", Kind.TIME, "'1e400 s' is not a finite time"),
    ("HRC 45", Kind.STRENGTH, "'HRC 45' is no tensile strength"),
    ("HRC 45", Kind.CURRENT, "'HRC 45' is no current"),
]


@pytest.mark.parametrize(("text", "kind", "says"), UNREADABLE)
def test_what_cannot_be_read_is_told_with_its_remedy(text: object, kind: Kind, says: str) -> None:
    """The fault says what is wrong, gives an example that can be read, and names the units allowed."""
    with pytest.raises(InputFault) as caught:
        read(text, kind)
    (fault,) = caught.value.faults
    assert fault.message == says
    example, units = fault.remedy.removeprefix('write it like "').split('" (units: ')
    assert read(example, kind) > 0
    named = units.removesuffix(")").split(", ")
    assert all(read(f"1 {unit}", kind) is not None for unit in named)
    assert {_KINDS[kind].si, _KINDS[kind].us} <= set(named)


def test_no_unit_is_named_twice_in_a_remedy() -> None:
    """Plain spellings beside the usual ones are read but not listed."""
    with pytest.raises(InputFault, match=r"\(units: µm, mm, mil, in\)"):
        read("30", Kind.THICKNESS)
    with pytest.raises(InputFault, match=r"\(units: A/dm², A/m², A/ft², ASF\)"):
        read("4", Kind.DENSITY)


@pytest.mark.parametrize("text", ["HRC 45", "hrc45", " HRC  45.0 "])
def test_a_hardness_is_turned_into_strength_by_the_table_handed_in(text: str) -> None:
    """The table belongs to who knows it; without one a hardness is no strength."""
    seen: list[float] = []

    def table(hrc: float) -> float:
        seen.append(hrc)
        return 1480.0

    assert read(text, Kind.STRENGTH, table) == 1480
    assert seen == [45]
    assert read("1500 MPa", Kind.STRENGTH, lambda _hrc: 0.0) == 1500
    with pytest.raises(InputFault):
        read(text, Kind.CURRENT, lambda _hrc: 0.0)


@given(st.text(max_size=20), st.sampled_from(Kind))
def test_any_text_is_a_quantity_or_a_fault(text: str, kind: Kind) -> None:
    """Nothing typed gives anything but a finite figure or an explanation."""
    try:
        value = read(text, kind, lambda hrc: hrc)
    except InputFault:
        return
    assert math.isfinite(value)


@pytest.mark.parametrize(
    ("seconds", "words", "face"),
    [
        (0, "0 s", "0:00"),
        (45, "45 s", "0:45"),
        (59.4, "59 s", "0:59"),
        (59.6, "1 min", "0:59"),
        (60, "1 min", "1:00"),
        (750, "12 min 30 s", "12:30"),
        (2480, "41 min 20 s", "41:20"),
        (3600, "1 h", "1:00:00"),
        (3605, "1 h 5 s", "1:00:05"),
        (4800, "1 h 20 min", "1:20:00"),
        (4805, "1 h 20 min", "1:20:05"),
        (90_000, "25 h", "25:00:00"),
        (-5, "−5 s", "−0:05"),
        (-0.4, "0 s", "0:00"),
        (-4800, "−1 h 20 min", "−1:20:00"),
    ],
)
def test_times_are_written_in_words_and_as_a_clock(seconds: float, words: str, face: str) -> None:
    """Words round to the second, a clock face shows the second that is running; both carry a minus."""
    assert write_time(seconds) == words
    assert write_clock(seconds) == face
