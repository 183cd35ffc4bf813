"""Wrong PINs are slowed, and told in the shop's journal by the person whose key they were tried on."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.record.layout import SHOP_JOURNAL
from runner.record.lines import Line
from runner.record.reader import read_lines
from runner.record.session import NotUnlocked
from runner.record.verify import verify
from support.floors import PIN, Works, write_shop


def told(works: Works) -> list[Line]:
    """Lines of the shop's journal about wrong PINs."""
    content = (works.logs / SHOP_JOURNAL).read_bytes()
    return [line for _, line in read_lines(content) if line.kind == "pin-refused"]


@pytest.fixture
def works(tmp_path: Path) -> Works:
    """A shop with its people, on whose keys no other test tries a PIN."""
    return Works(write_shop(tmp_path / "shop"), tmp_path / "keys").hire()


def test_a_right_pin_tells_nothing(works: Works) -> None:
    """Nothing was tried, so nothing is told."""
    works.floor.roll.unlock("otto", PIN, works.now)
    assert told(works) == []


def test_wrong_pins_are_told_by_the_next_right_one(works: Works) -> None:
    """Two wrong ones, then the right one: one line, signed by the same person, and the shop still proves."""
    for _ in range(2):
        with pytest.raises(NotUnlocked):
            works.floor.roll.unlock("otto", "000000", works.now)
    works.floor.roll.unlock("otto", PIN, works.now)
    (line,) = told(works)
    assert (line.who, line.data["times"]) == ("otto", 2)
    assert line.sig is not None
    works.floor.roll.unlock("otto", PIN, works.now)
    assert len(told(works)) == 1
    assert verify(works.logs).ok
