"""How thin is it where it is thinnest?

Owns the step between the mean thickness that charge gives and the least thickness that a standard asks for
on the significant surface. The ratio belongs to part, rack and tank and comes from the gauge: this file
holds none. Must not know charge or time. Chromium does not throw into recesses, so no ratio plans it.
"""

from __future__ import annotations

from runner.plating import sense


def minimum_from_mean_um(mean_um: float, thickness_ratio: float) -> float:
    """Least local thickness that a mean promises.

    Args:
        mean_um: Mean over the plated area.
        thickness_ratio: Thinnest over mean on the significant surface, above 0 and at most 1.

    Raises:
        ValueError: A negative mean, or a ratio outside its band.
    """
    sense.not_negative(mean_um=mean_um)
    sense.share(thickness_ratio=thickness_ratio)
    return mean_um * thickness_ratio


def mean_for_minimum_um(minimum_um: float, thickness_ratio: float) -> float:
    """Mean to be plated so that the thinnest place comes to the minimum.

    Args:
        minimum_um: What the standard asks for.
        thickness_ratio: Thinnest over mean on the significant surface, above 0 and at most 1.

    Raises:
        ValueError: A negative minimum, or a ratio outside its band.
    """
    sense.not_negative(minimum_um=minimum_um)
    sense.share(thickness_ratio=thickness_ratio)
    return minimum_um / thickness_ratio
