"""How long is strong steel relieved of stress before plating?

Owns the bake before plating by tensile strength. Must not know the part, nor the bake after plating
(`bake`). The customer's specification goes before this table.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.plating import sense
from runner.plating.bake import NO_BAKE_BELOW_MPA
from runner.plating.sources import Known, Source, Window

_B849 = Source("ASTM B849 and ISO 9587", Known.DOUBTFUL)


@dataclass(frozen=True, slots=True)
class StressRelief:
    """One row: least hours and oven window up to a strength."""

    to_mpa: float
    hours: float
    temperature_c: Window
    source: Source = _B849


STRESS_RELIEFS: tuple[StressRelief, ...] = (
    StressRelief(1400, 3, Window(200, 230, _B849)),
    StressRelief(1800, 18, Window(200, 230, _B849)),
    StressRelief(float("inf"), 24, Window(200, 230, _B849)),
)


def stress_relief(strength_mpa: float) -> StressRelief | None:
    """What is asked before plating for ground or cold-formed steel; None for weaker steel.

    Raises:
        ValueError: A strength not above zero.
    """
    sense.positive(strength_mpa=strength_mpa)
    if strength_mpa < NO_BAKE_BELOW_MPA.value:
        return None
    return next(row for row in STRESS_RELIEFS if strength_mpa <= row.to_mpa)
