"""Between which current densities is chromium bright at a temperature?

Owns the window of bright chromium over temperature: straight lines between the ends of the printed bands, the
slanted sides from memory. Must not know a tank.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.plating.sources import Figure, Known, Source

_SOURCE = Source(
    "EPA-453/B-95-001, Table 3-1, for the ends of the band; how it slants with temperature", Known.DOUBTFUL
)


@dataclass(frozen=True, slots=True)
class BrightBand:
    """One bath: densities at the two ends of its temperatures.

    Attributes:
        solution: Name of its row.
        cold_c: Lower end of the temperatures.
        hot_c: Upper end.
        burns_cold_a_dm2: Over this it burns at the lower end.
        burns_hot_a_dm2: Over this it burns at the upper end.
        bare_cold_a_dm2: Under this it does not cover at the lower end.
        bare_hot_a_dm2: Under this it is milky or bare at the upper end.
        source: Of the figures.
    """

    solution: str
    cold_c: float
    hot_c: float
    burns_cold_a_dm2: float
    burns_hot_a_dm2: float
    bare_cold_a_dm2: float
    bare_hot_a_dm2: float
    source: Source = _SOURCE

    def _at(self, cold: float, hot: float, temperature_c: float) -> float:
        inside = min(max(temperature_c, self.cold_c), self.hot_c)
        return cold + (hot - cold) * (inside - self.cold_c) / (self.hot_c - self.cold_c)

    def burns_over(self, temperature_c: float) -> float:
        """A/dm² over which it burns."""
        return self._at(self.burns_cold_a_dm2, self.burns_hot_a_dm2, temperature_c)

    def bare_under(self, temperature_c: float) -> float:
        """A/dm² under which it is milky or bare."""
        return self._at(self.bare_cold_a_dm2, self.bare_hot_a_dm2, temperature_c)


BRIGHT_BANDS: dict[str, BrightBand] = {
    band.solution: band
    for band in (
        BrightBand("hexavalent-chromium", 38, 46, 15, 23.7, 5.4, 9),
        BrightBand("hard-chromium", 49, 66, 40, 65, 16, 31),
    )
}

DECORATIVE_LONGEST_S = Figure(
    300, "s", Source("EPA-453/B-95-001, Table 3-1: decorative chromium 0.5 to 5 min", Known.READ)
)
