"""How much metal does a charge lay down, and how long does it take?

Owns Faraday's law in the trade's units: ``m = M·I·t·e/(z·F)`` and
``thickness[µm] = 100·(g/A·h)·e·(A·h/dm²)/density[g/cm³]``. Thickness here is always the mean over the area
that takes the current. Must not know solutions, racks or minima.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from runner.plating import sense
from runner.plating.constants import FARADAY, SECONDS_PER_HOUR

if TYPE_CHECKING:
    from collections.abc import Sequence

    from runner.plating.metals import Ion

_UM_FOR_G_DM2 = 100.0
"""A gram on a square decimetre of a metal of 1 g/cm³ is 100 µm: a matter of units alone."""


def g_per_ah(ion: Ion) -> float:
    """Grams that one ampere-hour deposits at 100 % efficiency."""
    return ion.molar_mass_g * SECONDS_PER_HOUR / (ion.valence * FARADAY.value)


def um_per_ah_dm2(ion: Ion) -> float:
    """Micrometres that one ampere-hour lays on one square decimetre at 100 % efficiency."""
    return _UM_FOR_G_DM2 * g_per_ah(ion) / ion.density_g_cm3


def charge_passed_ah(current_a: float, time_s: float) -> float:
    """Charge of a steady current.

    Raises:
        ValueError: A negative current or time.
    """
    sense.not_negative(current_a=current_a, time_s=time_s)
    return current_a * time_s / SECONDS_PER_HOUR


def charge_of_readings_ah(readings: Sequence[tuple[float, float]]) -> float:
    """Charge of a current read now and then, taken as changing evenly between readings.

    Args:
        readings: Pairs of time in seconds and current in amperes, times not falling. Fewer than two
            readings span no time, and so no charge.

    Raises:
        ValueError: A negative current, or times that fall.
    """
    total_as = 0.0
    for time_s, current_a in readings:
        sense.not_negative(current_a=current_a, time_s=time_s)
    for (from_s, from_a), (to_s, to_a) in pairwise(readings):
        if to_s < from_s:
            raise ValueError(f"the reading at {to_s} s comes after the one at {from_s} s")
        total_as += (from_a + to_a) / 2 * (to_s - from_s)
    return total_as / SECONDS_PER_HOUR


def mass_deposited_g(ion: Ion, charge_ah: float, efficiency: float) -> float:
    """Mass that a charge deposits.

    Raises:
        ValueError: A negative charge, or an efficiency that is no share.
    """
    sense.not_negative(charge_ah=charge_ah)
    sense.share(efficiency=efficiency)
    return g_per_ah(ion) * charge_ah * efficiency


def mean_thickness_um(ion: Ion, charge_ah: float, area_dm2: float, efficiency: float) -> float:
    """Mean thickness that a charge lays on an area.

    Raises:
        ValueError: A negative charge, an area not above zero, or an efficiency that is no share.
    """
    sense.positive(area_dm2=area_dm2)
    return _UM_FOR_G_DM2 * mass_deposited_g(ion, charge_ah, efficiency) / (area_dm2 * ion.density_g_cm3)


def charge_needed_ah(ion: Ion, thickness_um: float, area_dm2: float, efficiency: float) -> float:
    """Charge that a mean thickness takes.

    Raises:
        ValueError: A thickness or area not above zero, or an efficiency that is no share.
    """
    sense.positive(thickness_um=thickness_um, area_dm2=area_dm2)
    sense.share(efficiency=efficiency)
    return thickness_um * area_dm2 / (um_per_ah_dm2(ion) * efficiency)


def dwell_needed_s(
    ion: Ion, thickness_um: float, area_dm2: float, current_a: float, efficiency: float
) -> float:
    """Time that a mean thickness takes at a steady current.

    Raises:
        ValueError: A thickness, area or current not above zero, or an efficiency that is no share.
    """
    sense.positive(current_a=current_a)
    return charge_needed_ah(ion, thickness_um, area_dm2, efficiency) * SECONDS_PER_HOUR / current_a


def current_needed_a(
    ion: Ion, thickness_um: float, area_dm2: float, dwell_s: float, efficiency: float
) -> float:
    """Steady current that lays a mean thickness within a time.

    Raises:
        ValueError: A thickness, area or time not above zero, or an efficiency that is no share.
    """
    sense.positive(dwell_s=dwell_s)
    return charge_needed_ah(ion, thickness_um, area_dm2, efficiency) * SECONDS_PER_HOUR / dwell_s


def efficiency_found(ion: Ion, thickness_um: float, charge_ah: float, area_dm2: float) -> float:
    """Efficiency that a measured mean thickness shows, as a ratio; above 1 something was read wrong.

    Raises:
        ValueError: A thickness, charge or area not above zero.
    """
    sense.positive(thickness_um=thickness_um, charge_ah=charge_ah, area_dm2=area_dm2)
    return thickness_um * area_dm2 / (um_per_ah_dm2(ion) * charge_ah)
