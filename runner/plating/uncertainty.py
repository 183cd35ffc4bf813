"""How sure is a thickness?

Owns the propagation of uncertainty for products and quotients, the conversion of limits into standard
uncertainties, and the step to a confidence. Uncertainties are relative (ratios of the value) and standard
(k = 1) unless a name says otherwise. Must not know where the parts of an uncertainty come from.

Source: *Guide to the expression of uncertainty in measurement* (JCGM 100), 4.3, 5.1.6, 5.2 and annex G, from
memory; checked against worked examples in print.
"""

from __future__ import annotations

import math
from statistics import NormalDist
from typing import TYPE_CHECKING

from runner.plating import sense
from runner.plating.sources import Figure, Known, Source

if TYPE_CHECKING:
    from collections.abc import Iterable

COVERAGE = 2.0
"""Coverage factor k of every expanded uncertainty here: about 95 % (JCGM 100, annex G)."""

_USUAL = "stands in until the shop gives its own: "
USUAL_CURRENT = Figure(
    0.01, "", Source(_USUAL + "a panel ammeter within 2 % of its reading, k = 2", Known.PRACTICE)
)
USUAL_EFFICIENCY = Figure(
    0.02 / math.sqrt(3),
    "",
    Source(_USUAL + "cathode efficiency within 2 % either way, rectangular", Known.PRACTICE),
)
USUAL_AREA = Figure(
    0.05 / math.sqrt(3),
    "",
    Source(_USUAL + "area of a shaped part within 5 % either way, rectangular", Known.PRACTICE),
)


def rectangular(half_width: float) -> float:
    """Standard uncertainty of a figure that lies anywhere within ± a half-width.

    Raises:
        ValueError: A negative half-width.
    """
    sense.not_negative(half_width=half_width)
    return half_width / math.sqrt(3)


def triangular(half_width: float) -> float:
    """Standard uncertainty of a figure within ± a half-width that is more likely near the middle.

    Raises:
        ValueError: A negative half-width.
    """
    sense.not_negative(half_width=half_width)
    return half_width / math.sqrt(6)


def resolution(step: float) -> float:
    """Standard uncertainty of a display that shows steps of this size.

    Raises:
        ValueError: A negative step.
    """
    return rectangular(step / 2)


def from_expanded(expanded: float, coverage: float = COVERAGE) -> float:
    """Standard uncertainty behind an expanded one.

    Raises:
        ValueError: A negative uncertainty, or a coverage factor not above zero.
    """
    sense.not_negative(expanded=expanded)
    sense.positive(coverage=coverage)
    return expanded / coverage


def product_relative(parts: Iterable[tuple[float, float]]) -> float:
    """Relative uncertainty of a product of powers of independent quantities: ``√Σ(p·u/x)²``.

    Args:
        parts: Pairs of power (−1 for a divisor) and relative standard uncertainty.

    Raises:
        ValueError: A negative uncertainty.
    """
    terms = []
    for power, relative in parts:
        sense.not_negative(relative=relative)
        terms.append(power * relative)
    return math.hypot(*terms)


def quotient_relative(over: float, under: float, correlation: float) -> float:
    """Relative uncertainty of a quotient whose two quantities were measured together.

    Args:
        over: Relative standard uncertainty of the dividend.
        under: Of the divisor.
        correlation: Correlation coefficient of the two, −1 to 1.

    Raises:
        ValueError: A negative uncertainty, or a correlation outside its band.
    """
    sense.not_negative(over=over, under=under)
    if not -1 <= correlation <= 1:
        raise ValueError(f"correlation must be from −1 to 1, found {correlation}")
    # Rounding can push a full cancellation just below zero.
    return math.sqrt(max(0.0, over**2 + under**2 - 2 * correlation * over * under))


def thickness_relative(current: float, time: float, efficiency: float, area: float) -> float:
    """Relative standard uncertainty of a thickness that follows charge: ``k·I·t·e/A``.

    Args:
        current: Relative standard uncertainty of the current.
        time: Of the time.
        efficiency: Of the cathode efficiency.
        area: Of the plated area.

    Raises:
        ValueError: A negative uncertainty.
    """
    return product_relative(((1, current), (1, time), (1, efficiency), (-1, area)))


def thickness_uncertainty_um(
    thickness_um: float, current: float, time: float, efficiency: float, area: float
) -> float:
    """Expanded uncertainty (k = 2) of a thickness that follows charge, in µm.

    Args:
        thickness_um: As planned or computed.
        current: Relative standard uncertainty of the current.
        time: Of the time.
        efficiency: Of the cathode efficiency.
        area: Of the plated area.

    Raises:
        ValueError: A negative figure.
    """
    sense.not_negative(thickness_um=thickness_um)
    return COVERAGE * thickness_um * thickness_relative(current, time, efficiency, area)


def factor_for_confidence(relative: float, confidence: float) -> float:
    """How many times the wanted thickness must be planned so that it is met with a confidence.

    The thickness reached is taken as normal about the planned one with this relative standard uncertainty;
    one-sided, since only too little is a failure.

    Args:
        relative: Relative standard uncertainty.
        confidence: Wanted, from 0.5 (no allowance) to below 1.

    Raises:
        ValueError: A confidence outside its band, or an uncertainty so large that no plan can give it.
    """
    sense.not_negative(relative=relative)
    if not 0.5 <= confidence < 1:  # noqa: PLR2004 -- even odds, below which an allowance would be negative
        raise ValueError(f"confidence must be from 0.5 to below 1, found {confidence}")
    allowance = NormalDist().inv_cdf(confidence) * relative
    if allowance >= 1:
        raise ValueError(f"an uncertainty of {relative:.0%} cannot give a confidence of {confidence:.4g}")
    return 1 / (1 - allowance)


def mean_for_confidence_um(
    minimum_um: float, thickness_ratio: float, relative: float, confidence: float
) -> float:
    """Mean to be plated so that the least local thickness meets the minimum with a confidence.

    Args:
        minimum_um: What the standard asks for.
        thickness_ratio: Thinnest over mean on the significant surface.
        relative: Relative standard uncertainty of the thickness.
        confidence: Wanted, from 0.5 to below 1.

    Raises:
        ValueError: A figure outside its band.
    """
    sense.positive(minimum_um=minimum_um)
    sense.share(thickness_ratio=thickness_ratio)
    return minimum_um / thickness_ratio * factor_for_confidence(relative, confidence)


def confidence_of(planned_um: float, minimum_um: float, relative: float) -> float:
    """Confidence with which a planned thickness meets a minimum; the inverse of the factor.

    Raises:
        ValueError: A planned thickness or minimum not above zero, or a negative uncertainty.
    """
    sense.positive(planned_um=planned_um, minimum_um=minimum_um)
    sense.not_negative(relative=relative)
    if relative == 0:
        return 1.0 if planned_um >= minimum_um else 0.0
    return 1 - NormalDist(planned_um, planned_um * relative).cdf(minimum_um)
