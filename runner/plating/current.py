"""How many amps for this rack, and whose amps does the meter show?

Owns the sums between current density, area and the ammeter. Must not know what the current deposits.
"""

from __future__ import annotations

from runner.plating import sense
from runner.plating.sources import Figure, Known, Source

LEAST_READABLE_SHARE = Figure(
    0.1,
    "of the rectifier's range",
    Source("below a tenth of a rectifier's range the meter cannot be read", Known.PRACTICE),
)
"""Below it the meter cannot be read and the ripple is coarse."""


def amps_needed_a(
    density_a_dm2: float, parts_dm2: float, tips_dm2: float = 0.0, thieves_dm2: float = 0.0
) -> float:
    """What to set: current density over everything bare in the tank, not the parts alone.

    Args:
        density_a_dm2: Wanted on the parts.
        parts_dm2: Plated area of the parts.
        tips_dm2: Bare metal of rack tips.
        thieves_dm2: Bare metal of thieves.

    Raises:
        ValueError: A density or parts' area not above zero, or negative tips or thieves.
    """
    sense.positive(density_a_dm2=density_a_dm2, parts_dm2=parts_dm2)
    sense.not_negative(tips_dm2=tips_dm2, thieves_dm2=thieves_dm2)
    return density_a_dm2 * (parts_dm2 + tips_dm2 + thieves_dm2)


def share_of_meter_a(meter_a: float, own_dm2: float, all_dm2: float) -> float:
    """The part of a meter reading that falls on one area of all that hangs in the tank.

    Args:
        meter_a: What the ammeter shows.
        own_dm2: The area asked about: the parts of a rack, say.
        all_dm2: Every bare area on the same bar: all racks, their tips and thieves.

    Raises:
        ValueError: A negative reading, an area not above zero, or a part larger than the whole.
    """
    sense.not_negative(meter_a=meter_a)
    sense.positive(own_dm2=own_dm2, all_dm2=all_dm2)
    if own_dm2 > all_dm2:
        raise ValueError(f"own_dm2 ({own_dm2}) is more than all that hangs in the tank ({all_dm2})")
    return meter_a * own_dm2 / all_dm2


def density_a_dm2(current_a: float, area_dm2: float) -> float:
    """Current density of a current spread over an area.

    Raises:
        ValueError: A negative current, or an area not above zero.
    """
    sense.not_negative(current_a=current_a)
    sense.positive(area_dm2=area_dm2)
    return current_a / area_dm2


def meter_can_show(current_a: float, range_a: float) -> bool:
    """Whether a rectifier of this range can be read at this current; the limit itself can be read.

    Raises:
        ValueError: A negative current, or a range not above zero.
    """
    sense.not_negative(current_a=current_a)
    sense.positive(range_a=range_a)
    return current_a >= LEAST_READABLE_SHARE.value * range_a
