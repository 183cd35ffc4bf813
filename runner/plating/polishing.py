"""How fast may a wheel run, and what must not be blasted with?

Owns printed surface speeds and the words for free silica. Must not know a wheel: the speed marked on it is
never exceeded, whatever a table says.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from runner import units
from runner.plating.families import ALUMINIUM, COPPERS, DIE_CAST, IRONS
from runner.plating.sources import Known, Source

_MOPS = Source("Metal Finishing Guidebook, Tables II and III on buffing speeds", Known.MEMORY)


def _m_s(ft_min: float) -> float:
    return units.read(f"{ft_min} ft/min", units.Kind.SPEED)


@dataclass(frozen=True, slots=True)
class WheelSpeed:
    """The fastest printed surface speed for a metal."""

    metals: frozenset[str]
    most_m_s: float
    source: Source = _MOPS


WHEEL_SPEEDS: tuple[WheelSpeed, ...] = (
    WheelSpeed(IRONS | COPPERS | {ALUMINIUM, "nickel"}, _m_s(9000)),
    WheelSpeed(frozenset({DIE_CAST, "zinc", "chromium"}), _m_s(8000)),
)

FASTEST_M_S = max(row.most_m_s for row in WHEEL_SPEEDS)
"""No printed row goes beyond it for any metal."""

FASTEST_SOURCE = _MOPS

SILICA_SOURCE = Source(
    "HSE OC 273/18 on the blasting regulations: no sand or other free silica, wet or dry", Known.READ
)

_SILICA = re.compile(r"\b(?:silica|sand|quartz|flint|sandstone|quartzite)\b", re.IGNORECASE)
_DENIED = re.compile(
    r"\b(?:no|without|free (?:of|from))\s+(?:\w+\s+)?(?:silica|sand|quartz|flint)\b"
    r"|\b(?:silica|sand|quartz)[- ]free\b",
    re.IGNORECASE,
)


def holds_silica(media: str) -> bool:
    """Whether the words for a blasting medium name free silica; ``silica-free slag`` does not."""
    return bool(_SILICA.search(_DENIED.sub(" ", media)))
