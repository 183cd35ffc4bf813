"""How much of the current deposits metal?

Owns cathode efficiency as a figure or as a table over current density. Must not hold the figures of any
solution.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from runner.plating import sense

if TYPE_CHECKING:
    from runner.plating.sources import Source


@dataclass(frozen=True, slots=True)
class Efficiency:
    """Cathode efficiency over current density, as a ratio.

    Attributes:
        points: Pairs of current density in A/dm² and efficiency above 0 and at most 1, densities rising.
            One pair is a plain figure.
        source: Where the figures come from; None for a shop's own.

    Raises:
        ValueError: No points, densities that do not rise, or an efficiency that is no share.
    """

    points: tuple[tuple[float, float], ...]
    source: Source | None = None

    def __post_init__(self) -> None:
        if not self.points:
            raise ValueError("an efficiency needs at least one point")
        for density_a_dm2, efficiency in self.points:
            sense.not_negative(density_a_dm2=density_a_dm2)
            sense.share(efficiency=efficiency)
        if any(after[0] <= before[0] for before, after in pairwise(self.points)):
            raise ValueError("the current densities of an efficiency table must rise")

    @classmethod
    def flat(cls, efficiency: float, source: Source | None = None) -> Efficiency:
        """One figure at every current density."""
        return cls(((0.0, efficiency),), source)

    def at(self, density_a_dm2: float) -> float:
        """Efficiency at a current density: linear between points, held flat outside them.

        Raises:
            ValueError: A current density that is negative or not a number.
        """
        sense.not_negative(density_a_dm2=density_a_dm2)
        if density_a_dm2 <= self.points[0][0]:
            return self.points[0][1]
        for (low, at_low), (high, at_high) in pairwise(self.points):
            if density_a_dm2 <= high:
                part = (density_a_dm2 - low) / (high - low)
                # Weighted so that both ends come out exactly and rounding cannot leave the band between.
                return math.fsum(((1 - part) * at_low, part * at_high))
        return self.points[-1][1]
