"""The look ahead on the board: what will clash, and the next hour as a strip of tanks against time.

Owns how a forecast is drawn: each rack by its digit on the board, a line while it is in a tank, a bar where
it must be lifted. Signs and digits only, no colour. Must not know a screen library.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from datetime import tzinfo

from runner.batch.ahead import Clash, Stay
from runner.batch.moment import Moment
from runner.screens.words_figures import wall
from runner.text import shown
from runner.units import write_clock

HOUR_S = 3600.0
NAME_CELLS = 18
"""Room for a tank's name in front of its row."""

MOST_CLASHES = 3
"""More would be a list that nobody reads; the soonest are told."""

HANGS = 60
"""Width from which a second row stands under the words of the first; below that it would be a column."""

TICKS = 4
"""Times written along the top of the strip."""


def ahead_lines(clashes: Sequence[Clash], digits: Mapping[str, str], width: int) -> list[str]:
    """Clashes in words, the soonest first, by the digits that the racks have on the board.

    Args:
        clashes: The soonest first; those in which a rack can wait give way to the others.
        digits: Of each batch on the board.
        width: Cells of the screen; what is longer goes on under its first words.
    """
    told = sorted(clashes, key=lambda clash: clash.can_wait)[:MOST_CLASHES]
    lines = []
    for clash in sorted(told, key=lambda clash: clash.in_s):
        one, other = (digits.get(batch, batch) for batch in clash.batches)
        words = clash.words.replace(" and ".join(clash.batches), f"racks {one} and {other}")
        # The longest name first: another may be its beginning.
        for batch in sorted(digits, key=len, reverse=True):
            words = words.replace(batch, f"rack {digits[batch]}")
        when = f"in {write_clock(clash.in_s)}" if clash.in_s >= 1 else "now"
        head = f" AHEAD {when}  "
        indent = " " * (len(head) if width >= HANGS else 2)
        lines += textwrap.wrap(f"{head}{shown(words)}", max(10, width - 1), subsequent_indent=indent)
    return lines


def strip_lines(
    stays: Sequence[Stay], digits: dict[str, str], now: Moment, width: int, zone: tzinfo | None = None
) -> list[str]:
    """The next hour: a row for each tank that a rack will be in, the nearest first.

    Args:
        stays: Of all racks.
        digits: Of each batch on the board.
        now: The left edge.
        width: Cells of the screen.
        zone: For the times along the top.
    """
    cells = max(10, width - NAME_CELLS - 2)
    rows: dict[tuple[str, str], list[str]] = {}
    for stay in sorted(stays, key=lambda one: (one.begin_s, one.batch)):
        if stay.begin_s >= HOUR_S:
            continue
        key = (stay.step.tank_title or stay.step.tank or "", digits.get(stay.batch, "?"))
        row = rows.setdefault(key, [" "] * cells)
        _draw(row, key[1], stay)
    if not rows:
        return []
    lines = [_times(now, cells, zone)]
    lines += [
        f" {shown(name, NAME_CELLS - 1):<{NAME_CELLS}}{''.join(row)}" for (name, _), row in rows.items()
    ]
    return lines


def _draw(row: list[str], digit: str, stay: Stay) -> None:
    """The rack's digit where it goes in, a line while it is in, a bar where it is lifted."""
    begin, end = (_cell(at_s, len(row)) for at_s in (stay.begin_s, stay.lift_s))
    for at in range(begin, min(end, len(row) - 1) + 1):
        row[at] = "─"
    begin = min(begin, len(row) - len(digit))
    row[begin : begin + len(digit)] = digit
    if begin + len(digit) <= end < len(row):
        row[end] = "┃"


def _cell(at_s: float, cells: int) -> int:
    return int(at_s / HOUR_S * cells)


def _times(now: Moment, cells: int, zone: tzinfo | None) -> str:
    marks = [" "] * cells
    for tick in range(TICKS):
        at = tick * cells // TICKS
        face = wall(now.at_ms + int(tick * HOUR_S / TICKS * 1000), zone)[:5]
        marks[at : at + len(face)] = face
    return f" {'the next hour':<{NAME_CELLS}}{''.join(marks)[:cells]}"
