"""Which way round is a metal cleaned?

Owns the table of electrocleaning by the metal on top: which polarity is right, and for how long the other may
run. Must not know a route.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.plating.families import ALUMINIUM, COPPERS, DIE_CAST, STEELS, ZINCATE
from runner.plating.severity import Severity
from runner.plating.sources import Known, Source

_B183 = Source("ASTM B183: anodic for plain steel", Known.MEMORY)
_B281 = Source("ASTM B281: cathodic, then at most short anodic, which tarnishes", Known.MEMORY)
_B252 = Source("ASTM B252: anodic 1.6 to 3.2 A/dm² for 25 to 45 s", Known.MEMORY)
_PRACTICE = Source("what platers hold of electrocleaning", Known.PRACTICE)


@dataclass(frozen=True, slots=True)
class CleaningPolarity:
    """One row.

    Attributes:
        metals: What is on top.
        polarity: The one that the row speaks of.
        severity: Beyond the limits below; of any use where there are none.
        what: What goes wrong.
        source: Where that is known from.
        to_s: It may run so long.
        to_a_dm2: It may run so hard.
        unless_reversed: Whether it is in order where the other polarity follows before the deposit.
        unless_activated: Whether it is in order where an activation follows before the deposit.
    """

    metals: frozenset[str]
    polarity: str
    severity: Severity
    what: str
    source: Source
    to_s: float | None = None
    to_a_dm2: float | None = None
    unless_reversed: bool = False
    unless_activated: bool = False


CLEANING_POLARITIES: tuple[CleaningPolarity, ...] = (
    CleaningPolarity(STEELS, "cathodic", Severity.DOUBT,
                     "cathodic current plates smut from the cleaner onto steel and puts hydrogen in",
                     _B183, unless_reversed=True),
    CleaningPolarity(COPPERS, "anodic", Severity.DOUBT,
                     "anodic current tarnishes copper alloys and takes the zinc out of brass", _B281, to_s=20,
                     unless_reversed=True),
    CleaningPolarity(frozenset({"nickel"}), "anodic", Severity.DOUBT,
                     "anodic current makes nickel passive: plate peels", _PRACTICE, unless_reversed=True,
                     unless_activated=True),
    CleaningPolarity(frozenset({DIE_CAST, "zinc"}), "anodic", Severity.DOUBT,
                     "zinc is cleaned short and mild, or it etches", _B252, to_s=60, to_a_dm2=3.3),
    CleaningPolarity(frozenset({DIE_CAST, "zinc"}), "cathodic", Severity.DOUBT,
                     "cathodic current plates smut onto zinc and blisters it", _PRACTICE),
    CleaningPolarity(frozenset({ALUMINIUM, ZINCATE}), "anodic", Severity.SPOIL,
                     "aluminium is not electrocleaned", _PRACTICE),
    CleaningPolarity(frozenset({ALUMINIUM, ZINCATE}), "cathodic", Severity.SPOIL,
                     "aluminium is not electrocleaned", _PRACTICE),
    CleaningPolarity(frozenset({"chromium"}), "anodic", Severity.SPOIL,
                     "anodic alkali strips chromium", _PRACTICE),
)  # fmt: skip
"""What it does not name is in order: steel anodic, copper cathodic, stainless steel either way."""
