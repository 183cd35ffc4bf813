"""How much hydrogen comes off?

Owns the gas that the current makes where it deposits no metal. Must not know ventilation: the supplier's
data sheet and local codes decide that.
"""

from __future__ import annotations

from runner.plating import sense
from runner.plating.constants import FARADAY, MOLAR_GAS_VOLUME, SECONDS_PER_HOUR

_ELECTRONS_PER_MOLECULE = 2
"""Two hydrogen ions, two electrons, one molecule."""


def hydrogen_l(charge_ah: float, efficiency: float) -> float:
    """Hydrogen evolved at the cathode, as if at 0 °C and 101.325 kPa.

    Args:
        charge_ah: Charge passed.
        efficiency: Cathode efficiency as a ratio; 0 where the current deposits nothing, as in cathodic
            cleaning.

    Raises:
        ValueError: A negative charge, or an efficiency outside 0 to 1.
    """
    sense.not_negative(charge_ah=charge_ah)
    if not 0 <= efficiency <= 1:
        raise ValueError(f"efficiency must be between 0 and 1, found {efficiency}")
    moles = charge_ah * SECONDS_PER_HOUR / (_ELECTRONS_PER_MOLECULE * FARADAY.value)
    return moles * MOLAR_GAS_VOLUME.value * (1 - efficiency)
