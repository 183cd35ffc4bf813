"""How much water does a rinse take, and what is left on the part?

Owns the dilution sums for running and still rinses. Water is counted in volumes per volume of drag-out
(``water_per_dragout``), a rinsing ratio is the strength of the process solution over that of the last rinse,
and a share is the strength of a rinse over that of the process solution. Must not know drag-out volumes
(`dragout`) or which ratio a finish needs.

Sources: running rinse, exact, *Rinsing with Less Water*, 1977 (read in the publication); counterflow, exact
and approximate, and separate rinses, *Water and Waste Control for the Plating Shop*, 1976 (from memory);
strength in each tank, still rinse after a count of loads and the intermittent peak follow from the mass
balance (computed).
"""

from __future__ import annotations

import math

from runner.plating import sense
from runner.plating.constants import SECONDS_PER_HOUR

MOST_STAGES = 100
"""No line has so many rinses; more is a slip of the pen, and would only keep the sum busy."""


def _check_stages(stages: int) -> None:
    sense.count(stages=stages)
    if stages > MOST_STAGES:
        raise ValueError(f"stages must be at most {MOST_STAGES}, found {stages}")


def _check_ratio(ratio: float) -> None:
    if not (math.isfinite(ratio) and ratio > 1):
        raise ValueError(f"ratio must be a number above 1, found {ratio}")


def _powers_summed(water_per_dragout: float, highest: int) -> float:
    """``1 + r + r² + … + rⁿ``; stays right at r = 1, where the closed form divides nothing by nothing."""
    total = 0.0
    for _ in range(highest + 1):
        total = total * water_per_dragout + 1.0
    return total


def counterflow_ratio(water_per_dragout: float, stages: int) -> float:
    """Rinsing ratio of counterflow tanks: ``1 + r + r² + … + rⁿ``.

    Raises:
        ValueError: Negative water, or stages that are no whole number from 1 to `MOST_STAGES`.
    """
    sense.not_negative(water_per_dragout=water_per_dragout)
    _check_stages(stages)
    return _powers_summed(water_per_dragout, stages)


def counterflow_water(ratio: float, stages: int) -> float:
    """Water that a rinsing ratio takes in counterflow tanks, exactly.

    The ratio rises with the water throughout and the approximation asks for too much, so halving between
    nothing and the approximation cannot miss.

    Returns:
        Volumes of water per volume of drag-out.

    Raises:
        ValueError: A ratio not above 1, or stages that are no whole number from 1 to `MOST_STAGES`.
    """
    low, high = 0.0, counterflow_water_approximate(ratio, stages)
    middle = (low + high) / 2
    while low < middle < high:
        if _powers_summed(middle, stages) < ratio:
            low = middle
        else:
            high = middle
        middle = (low + high) / 2
    return middle


def counterflow_water_approximate(ratio: float, stages: int) -> float:
    """Water by the shop's rule, the n-th root of the ratio: good above 10, and a little too much.

    Raises:
        ValueError: A ratio not above 1, or stages that are no whole number from 1 to `MOST_STAGES`.
    """
    _check_ratio(ratio)
    _check_stages(stages)
    return math.pow(ratio, 1 / stages)


def counterflow_share(water_per_dragout: float, stages: int, tank: int) -> float:
    """Strength in one counterflow tank, as a share of the process solution.

    Args:
        water_per_dragout: Volumes of water per volume of drag-out.
        stages: Number of tanks.
        tank: Which one, 1 being the first that the part enters.

    Raises:
        ValueError: Negative water, wrong stages, or a tank that is not among them.
    """
    ratio = counterflow_ratio(water_per_dragout, stages)
    sense.count(tank=tank)
    if tank > stages:
        raise ValueError(f"tank must be from 1 to {stages}, found {tank}")
    return _powers_summed(water_per_dragout, stages - tank) / ratio


def separate_ratio(water_per_dragout: float, stages: int) -> float:
    """Rinsing ratio of rinses that are each fed with fresh water: ``(1 + r)ⁿ``.

    Args:
        water_per_dragout: Of each rinse; the line uses this times the stages.
        stages: Number of rinses.

    Raises:
        ValueError: Negative water, or stages that are no whole number from 1 to `MOST_STAGES`.
    """
    sense.not_negative(water_per_dragout=water_per_dragout)
    _check_stages(stages)
    ratio = 1.0
    for _ in range(stages):
        ratio *= 1 + water_per_dragout
    return ratio


def separate_water(ratio: float, stages: int) -> float:
    """Water that each of several freshly fed rinses takes.

    Raises:
        ValueError: A ratio not above 1, or stages that are no whole number from 1 to `MOST_STAGES`.
    """
    _check_ratio(ratio)
    _check_stages(stages)
    return math.pow(ratio, 1 / stages) - 1


def still_share(loads: int, volume_l: float, dragout_l: float) -> float:
    """Strength of a still rinse after a count of loads, as a share of the process solution.

    Each load mixes in and takes as much out again: ``1 − (V/(V+D))ᵏ``.

    Raises:
        ValueError: Loads below one, or a volume or drag-out not above zero.
    """
    sense.count(loads=loads)
    sense.positive(volume_l=volume_l, dragout_l=dragout_l)
    return -math.expm1(-loads * math.log1p(dragout_l / volume_l))


def still_share_continuous(loads: float, volume_l: float, dragout_l: float) -> float:
    """The same as if drag-out came in a steady trickle: ``1 − e^(−kD/V)``.

    Raises:
        ValueError: Negative loads, or a volume or drag-out not above zero.
    """
    sense.not_negative(loads=loads)
    sense.positive(volume_l=volume_l, dragout_l=dragout_l)
    return -math.expm1(-loads * dragout_l / volume_l)


def still_series_share(rinses: int, volume_l: float, dragout_l: float) -> float:
    """Strength in the last of several clean still rinses after one load: about ``(D/V)ᵐ``.

    Raises:
        ValueError: Rinses below one, or a volume or drag-out not above zero.
    """
    sense.count(rinses=rinses)
    sense.positive(volume_l=volume_l, dragout_l=dragout_l)
    return math.pow(dragout_l / volume_l, rinses)


def intermittent_peak_share(dragout_l: float, volume_l: float, flow_l_h: float, interval_s: float) -> float:
    """Highest strength of a running rinse that takes a load now and then, once it has settled.

    ``(D/V)/(1 − e^(−Q·Δt/V))``, as a share of the process solution, just after a load goes in.

    Raises:
        ValueError: Any figure not above zero.
    """
    sense.positive(dragout_l=dragout_l, volume_l=volume_l, flow_l_h=flow_l_h, interval_s=interval_s)
    changes = flow_l_h * interval_s / SECONDS_PER_HOUR / volume_l
    return dragout_l / volume_l / -math.expm1(-changes)
