"""Figures that make no sense, and words for how a figure is known."""

from __future__ import annotations

import math

import pytest

from runner.plating import sense
from runner.plating.sources import Known, Source, Window

_NO_NUMBERS = (math.nan, math.inf, -math.inf)


@pytest.mark.parametrize("value", [0.0, -1.0, *_NO_NUMBERS])
def test_positive_refuses_by_name(value: float) -> None:
    """Zero, negative and unbounded figures are refused, and the message names the figure."""
    with pytest.raises(ValueError, match="area_dm2 must be a number above zero"):
        sense.positive(current_a=1.0, area_dm2=value)


@pytest.mark.parametrize("value", [-1e-9, *_NO_NUMBERS])
def test_not_negative_lets_zero_pass(value: float) -> None:
    """Zero makes sense as a charge or a time, less does not."""
    sense.not_negative(charge_ah=0.0)
    with pytest.raises(ValueError, match="charge_ah must be zero or above"):
        sense.not_negative(charge_ah=value)


@pytest.mark.parametrize("value", [0.0, 1.0000001, -0.5, *_NO_NUMBERS])
def test_share_is_above_zero_and_at_most_one(value: float) -> None:
    """An efficiency of 95.5 is a slip for 0.955, and is not taken."""
    sense.share(efficiency=1.0)
    with pytest.raises(ValueError, match="efficiency must be above 0 and at most 1"):
        sense.share(efficiency=value)


@pytest.mark.parametrize("value", [0, -3, True, 2.5])
def test_count_is_whole(value: int) -> None:
    """Half a rinse and a truth value are no count."""
    sense.count(stages=3)
    with pytest.raises(ValueError, match="stages must be a whole number"):
        sense.count(stages=value)


def test_a_source_says_how_it_is_known() -> None:
    """The word stands beside the text wherever a source is printed."""
    assert str(Source("ASTM B254", Known.MEMORY)) == "ASTM B254 (from memory)"
    assert Known("common practice") is Known.PRACTICE


def test_a_window_holds_its_ends() -> None:
    """Both ends count as inside, a reading that is no number does not."""
    window = Window(52, 60, Source("invented", Known.PRACTICE))
    assert [window.holds(value) for value in (51.9, 52, 56, 60, 60.1, math.nan)] == [
        False,
        True,
        True,
        True,
        False,
        False,
    ]
