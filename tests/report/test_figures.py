"""The figures and times on a batch's report: what was done, beside what was planned."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.batch import intents as do
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.report.figures import Figures
from runner.record.report.material import gather
from runner.record.report.steps import step_views
from runner.record.report.view import view
from support.batches import Walker, later
from support.journals import moment
from support.messy import BATCH, make_messy
from support.pages import Printed
from support.records import day, record_of
from support.works import ABANDONED, ENDED, OPEN, SEALED, Works


def test_every_figure_stands_beside_its_plan(messy: Path, printed: Printed) -> None:
    """2 dm² at 4 A/dm² are 8 A; 12 min 47 s of it are 1.7 A·h; the thinnest place has half the mean."""
    page = printed(messy)
    assert page.row("current", "8 A, cathodic") == [
        "current",
        "8 A, cathodic",
        "7.5 A to 8 A, 2 readings",
    ]
    assert page.row("charge") == ["charge", "1.7 A·h", "1.71 A·h"]
    assert page.row("mean thickness") == ["mean thickness", "10 µm ± 0.2 µm", "10 µm ± 0.2 µm"]
    assert page.row("thinnest place")[1:] == ["5 µm; asked for 5 µm", "5.01 µm at 0.5 of the mean"]


def test_an_uncertainty_is_that_share_of_what_came_out(messy: Path) -> None:
    """2 % of the ammeter at k = 2 is 2 % of the mean, as the shop stated it."""
    actual = record_of(messy)["step"][1]["actual"]["mean_thickness_um"]
    rows = view(gather(messy), moment()).steps[1].rows
    told = next(row.actual for row in rows if row.name == "mean thickness")
    assert told == f"{actual:.1f} µm ± {0.02 * actual:.1f} µm".replace(".0 ", " ")


def test_a_dwell_that_was_too_long_says_so(messy: Path, printed: Printed) -> None:
    """600 s, where 20 s to 60 s were planned."""
    assert printed(messy).row("dwell", "20 s to 1 min")[2] == "10 min late"


@pytest.mark.parametrize(
    ("dwell_s", "told"),
    [
        (24.0, "24 s early"),
        (26.0, "26 s, within the handling slack of 5 s"),
        (30.0, "30 s"),
        (60.2, "1 min"),
        (64.0, "1 min 4 s, within the handling slack of 5 s"),
        (66.0, "1 min 6 s late"),
    ],
)
def test_a_dwell_that_a_hand_s_time_let_pass_names_the_slack(dwell_s: float, told: str) -> None:
    """30 s to 60 s with 5 s for a hand: outside by less raises no deviation, and is not without a word."""
    walker = Walker()
    walker.do(do.Enter())
    walker.wait(dwell_s).do(do.Leave())
    step = step_views(walker.state, Figures("SI"), {})[0]
    row = next(row for row in step.rows if row.name == "dwell")
    assert f"{row.actual} {row.off}".strip() == told
    assert bool(row.off) == bool(walker.state.deviations)
    drawn = step.drawn[0]
    assert drawn is not None
    assert ("slack" in drawn.words) == ("slack" in told)


def test_a_pause_does_not_count_as_dwell_and_is_told(messy: Path, printed: Printed) -> None:
    """20 s with the current off in the middle."""
    page = printed(messy)
    assert page.row("dwell", "12 min 47 s, then by charge")[2] == "13 min 36 s of 13 min 56 s in all"
    assert "interrupted , in the tank, current off: 2026-01-01 10:15:07 to 10:15:27" in page.text


def test_the_clock_between_tanks_stands_against_its_limit(messy: Path, printed: Printed) -> None:
    """100 s where the step before allows 45 s."""
    row = printed(messy).row("out of the tank before", "up to 45 s")
    assert row[2] == "1 min 40 s too long"


def test_the_current_off_clock_stands_against_its_limit(printed: Printed, demo_rehearsal: Path) -> None:
    """Chromium after nickel: two minutes are allowed, the rinses between included."""
    rows = [row for row in printed(demo_rehearsal).rows if row[0] == "current off before"]
    assert ["current off before", "up to 2 min"] in [row[:2] for row in rows]


def test_checks_stand_with_what_was_seen(messy: Path, printed: Printed) -> None:
    """Never a tick: the value, what was asked for, when; and a word where it was not in order."""
    page = printed(messy)
    assert page.row("Nickel temperature") == [
        "Nickel temperature",
        "52 °C to 60 °C",
        "49.5 °C not in order",
        "10:12:57",
    ]
    assert page.row("Colour") == ["Colour", "even", "even", "10:26:49"]


def test_a_corrected_reading_stands_with_what_it_was(messy: Path, printed: Printed) -> None:
    """Old figure, reason, who and when."""
    row = printed(messy).row("10:14:27")
    assert row[1] == "7.5 A"
    assert "was 0.8 A; corrected 2026-01-01 10:14:37 by Otto Invented: misread the dial" in row[2]


@pytest.mark.parametrize("name", ENDED)
def test_every_time_through_a_step_is_there(sound: Works, printed: Printed, name: str) -> None:
    """Name, when it was entered, every check and every reading of the record."""
    page = printed(sound.batch(name))
    for step in record_of(sound.batch(name))["step"]:
        assert f"{step['number']}. {step['name']}" in page.text
        assert day(step["actual"]["entered"]) in page.text
        for check in step.get("check", []):
            assert check["ask"] in page.text
        for reading in step.get("reading", []):
            assert page.row(reading["at"][11:19])[1] == f"{reading['amps']:.3g} A"


def test_a_step_that_was_not_reached_says_so(sound: Works, printed: Printed) -> None:
    """An abandoned batch shows what of its plan was never done."""
    page = printed(sound.batch(ABANDONED))
    assert "3. Look: not walked" in page.text


def test_a_step_walked_again_is_told_twice(works: Works, tmp_path: Path, printed: Printed) -> None:
    """Both times through it, the second named as such."""
    floor = Floor(works.folder, Keys(tmp_path.parent / "none", rounds=1))
    now = later(moment(), 100_000)
    assert floor.take(OPEN, now) is None
    floor.use(OPEN, works.people["otto"])
    floor.act(OPEN, do.Leave(), now)
    floor.act(OPEN, do.Redo(2, "dull patch"), later(now, 1))
    floor.act(OPEN, do.Enter(), later(now, 2))
    floor.close()
    page = printed(works.batch(OPEN))
    assert page.text.count("2. Nickel") == 2
    assert "(time through: 2)" in page.text


def test_a_shop_in_si_shows_no_other_units(messy: Path, printed: Printed) -> None:
    """Nothing in mils or in A/ft²."""
    text = printed(messy).text
    assert "mil" not in text.split()
    assert "A/ft²" not in text


def test_a_shop_in_us_units_shows_both(tmp_path: Path, printed: Printed) -> None:
    """NIST SP 811, appendix B: 25.4 µm are a mil, 4 A/dm² are 37.2 A/ft², 52 °C are 125.6 °F."""
    page = printed(make_messy(tmp_path / "shop", tmp_path / "keys", "US").batch(BATCH))
    assert page.row("mean thickness")[1] == "10 µm (0.394 mil) ± 0.2 µm (0.0079 mil)"
    assert page.row("current density")[1].startswith("4 A/dm² (37.2 A/ft²)")
    assert page.row("Nickel temperature")[1] == "52 °C (126 °F) to 60 °C (140 °F)"


def test_times_are_utc_and_said_so(sound: Works, printed: Printed) -> None:
    """On the first sheet."""
    assert "All times are UTC." in printed(sound.batch(SEALED)).text
