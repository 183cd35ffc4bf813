"""How is it known?

Owns the words that say how a figure of the trade is known, and the shapes that carry a figure together
with its source. Must not hold any figure itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Known(StrEnum):
    """How far a figure can be trusted; the value is the word shown beside it."""

    READ = "read in the publication"
    COPY = "read in a secondary copy"
    COMPUTED = "computed"
    MEMORY = "from memory"
    DOUBTFUL = "from memory, doubtful"
    PRACTICE = "common practice"
    SHOP = "the shop's own figure"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure comes from.

    Attributes:
        text: The publication, with its table or page where that is known; or what the figure rests on.
        known: How it is known.
    """

    text: str
    known: Known

    def __str__(self) -> str:
        """The source with the word that says how it is known, as every finding prints it."""
        return f"{self.text} ({self.known})"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of the trade or of nature.

    Attributes:
        value: In the unit named beside it.
        unit: Its unit, in words for the reader; empty for a plain ratio.
        source: Where it comes from.
    """

    value: float
    unit: str
    source: Source


@dataclass(frozen=True, slots=True)
class Window:
    """The band in which a solution or an oven is kept, both ends included.

    Attributes:
        low: Lower end, in the unit that the field holding the window is named with.
        high: Upper end.
        source: Where the band comes from.
    """

    low: float
    high: float
    source: Source

    def holds(self, value: float) -> bool:
        """Whether a reading lies inside, ends included."""
        return self.low <= value <= self.high
