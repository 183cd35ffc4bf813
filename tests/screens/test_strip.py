"""The strip of the next hour, cell by cell."""

from __future__ import annotations

from datetime import UTC

import pytest

from runner.batch.ahead import Clash, Stay
from runner.procedure.sheet import PlannedStep
from runner.screens.strip import HOUR_S, NAME_CELLS, ahead_lines, strip_lines
from support.batches import START

WIDTH = 80
CELLS = WIDTH - NAME_CELLS - 2


def stay(batch: str, tank: str, begin_s: float, lift_s: float) -> Stay:
    """A rack in a tank."""
    step = PlannedStep(
        1, tank, "plate", "clock", tank=tank.lower(), tank_title=tank, dwell_s=lift_s - begin_s
    )
    return Stay(batch, step, begin_s, lift_s, lift_s)


def row(lines: list[str], tank: str) -> str:
    """The cells of a tank's row."""
    return next(line[NAME_CELLS + 1 :] for line in lines if line[1:].startswith(tank))


def test_a_rack_is_drawn_from_entry_to_lift() -> None:
    """Half an hour in copper is half the strip: its digit, a line, a bar at the lift."""
    cells = row(strip_lines([stay("a", "Copper", 0, HOUR_S / 2)], {"a": "1"}, START, WIDTH, UTC), "Copper")
    assert cells[0] == "1"
    assert set(cells[1 : CELLS // 2]) == {"─"}
    assert cells[CELLS // 2] == "┃"
    assert cells[CELLS // 2 + 1 :].strip() == ""


def test_what_goes_beyond_the_hour_has_no_bar() -> None:
    """Its lift is not in sight yet."""
    cells = row(strip_lines([stay("a", "Copper", 0, 2 * HOUR_S)], {"a": "1"}, START, WIDTH, UTC), "Copper")
    assert "┃" not in cells
    assert len(cells) == CELLS


def test_two_racks_in_one_tank_have_a_row_each() -> None:
    """Neither hides the other."""
    stays = [stay("a", "Nickel", 0, 600), stay("b", "Nickel", 300, 900)]
    lines = strip_lines(stays, {"a": "1", "b": "2"}, START, WIDTH, UTC)
    assert sum(line.startswith(" Nickel") for line in lines) == 2


def test_nothing_ahead_is_no_strip() -> None:
    """An empty board keeps its room."""
    assert strip_lines([], {}, START, WIDTH, UTC) == []
    assert strip_lines([stay("a", "Copper", HOUR_S, 2 * HOUR_S)], {"a": "1"}, START, WIDTH, UTC) == []


def test_no_line_is_wider_than_the_screen() -> None:
    """Down to forty columns."""
    stays = [stay("a", "A very long name of a tank", 0, 600), stay("b", "Nickel", 3599, 3700)]
    for width in (40, 80, 120):
        lines = strip_lines(stays, {"a": "1", "b": "2"}, START, width, UTC)
        assert max(map(len, lines)) <= width


BATCHES = ("2026-0001", "2026-0002")
DIGITS = {"2026-0001": "1", "2026-0002": "2"}


@pytest.mark.parametrize("begin_s", [0, 1800, HOUR_S - 1])
def test_the_tenth_rack_keeps_the_columns(begin_s: float) -> None:
    """Two digits take two cells of the hour, and no tank's row is longer for it."""
    cells = row(strip_lines([stay("a", "Copper", begin_s, 3700)], {"a": "10"}, START, WIDTH, UTC), "Copper")
    assert "10" in cells
    assert len(cells) == CELLS


def test_clashes_are_told_by_the_digits_of_the_board() -> None:
    """At most three, the soonest first, batches by their digit."""
    clash = Clash(125.0, BATCHES, "2026-0001 and 2026-0002 want R1: start 2026-0002 1:00 later")
    (line,) = ahead_lines([clash], DIGITS, WIDTH)
    assert line == " AHEAD in 2:05  racks 1 and 2 want R1: start rack 2 1:00 later"
    assert len(ahead_lines([clash] * 9, DIGITS, WIDTH)) == 3


def test_a_clash_of_one_rack_has_its_verb_and_now_is_now() -> None:
    """One overstays, two are due; no clock face of nothing."""
    clash = Clash(0.4, BATCHES, "2026-0001 overstays in Copper while 2026-0002 is in Pickle")
    (line,) = ahead_lines([clash], DIGITS, WIDTH)
    assert line == " AHEAD now  rack 1 overstays in Copper while rack 2 is in Pickle"


def test_what_can_wait_gives_way_to_what_goes_wrong() -> None:
    """Three are told: those that nobody can wait out, however many lifts are nearer."""
    mild = Clash(10.0, BATCHES, "mild", can_wait=True)
    told = ahead_lines([mild, mild, mild, Clash(900.0, BATCHES, "bad")], DIGITS, WIDTH)
    assert told[-1] == " AHEAD in 15:00  bad"
    assert len(told) == 3


@pytest.mark.parametrize(("width", "indent"), [(40, 2), (80, 16), (120, 16)])
def test_a_long_clash_hangs_under_its_first_row(width: int, indent: int) -> None:
    """Never from the edge of the screen, where digits of racks stand; never wider than the screen."""
    clash = Clash(125.0, BATCHES, "2026-0001 and 2026-0002 are due together: " + "one after the other " * 9)
    first, *rest = ahead_lines([clash], DIGITS, width)
    assert rest
    assert all(line.startswith(" " * indent) and line[indent] != " " for line in rest)
    assert max(map(len, [first, *rest])) < width


def test_a_batch_whose_name_begins_with_anothers_is_called_by_its_own_digit() -> None:
    """The ten thousandth batch of a year has a digit more, and begins as the thousandth does."""
    batches = ("2026-1000", "2026-10000")
    clash = Clash(60.0, batches, "2026-10000 overstays in Nickel while 2026-1000 is in Rinse")
    (line,) = ahead_lines([clash], dict(zip(batches, "12", strict=True)), 120)
    assert line.endswith("rack 2 overstays in Nickel while rack 1 is in Rinse")
