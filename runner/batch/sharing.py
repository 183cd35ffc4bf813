"""Several racks in one tank: whose share of the meter is whose.

Owns the sum of areas. The meter of a tank shows the current of everything in it, and each rack has its
share by area.
"""

from __future__ import annotations

from collections.abc import Mapping

from runner.batch.state import BatchState, Phase


def energised_in_tank(states: Mapping[str, BatchState], batch: str) -> float | None:
    """Energised area of all racks in the tank that a batch is in, in dm².

    Args:
        states: Every open batch by name.
        batch: The one that asks.

    Returns:
        The sum, its own area included; None where it is in no energised tank, nor just out of one, or where
        it is alone there.
    """
    own = states[batch]
    if own.step is None or own.phase.ended or own.step.tank is None or own.step.energised_dm2 is None:
        return None
    others = [
        state.step.energised_dm2 or 0.0
        for name, state in states.items()
        if name != batch
        # A rack that is paused or lifted takes no current, so it has no share of the meter.
        and state.phase is Phase.IN_STEP
        and state.step is not None
        and state.step.tank == own.step.tank
    ]
    return own.step.energised_dm2 + sum(others) if others else None
