"""Which metals are deposited, from which ion, and what do they weigh?

Owns the ions, their molar masses and the densities of the deposited metal. Must not know any solution.

Traps: a printed table of electrochemical equivalents gives chromium 51.8 A·h/ft² per mil, which needs a
deposit density of 7.1 g/cm³ and not the 7.19 of the bulk metal; it gives zinc 14.3, which does not follow
from its own density (that gives 13.81) and amounts to 96.6 % efficiency; it gives nickel 19.0 where its own
figures give 19.18. The sums here use the bulk densities below.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.faults import fault
from runner.plating.sources import Known, Source
from runner.text import shown

_IUPAC = Source("IUPAC standard atomic weights 2021; density of the bulk metal", Known.MEMORY)


@dataclass(frozen=True, slots=True)
class Ion:
    """One metal as it is deposited from one valence.

    Attributes:
        name: As a chemist writes it, ``Cu(II)``.
        metal: Its plain name, ``copper``.
        valence: Electrons taken by each atom deposited.
        molar_mass_g: Grams in one mole.
        density_g_cm3: Of the bulk metal; a deposit may be a little lighter.
        source: Of the mass and the density.
    """

    name: str
    metal: str
    valence: int
    molar_mass_g: float
    density_g_cm3: float
    source: Source = _IUPAC


NICKEL_II = Ion("Ni(II)", "nickel", 2, 58.6934, 8.908)
COPPER_I = Ion("Cu(I)", "copper", 1, 63.546, 8.96)
COPPER_II = Ion("Cu(II)", "copper", 2, 63.546, 8.96)
CHROMIUM_VI = Ion("Cr(VI)", "chromium", 6, 51.9961, 7.19)
CHROMIUM_III = Ion("Cr(III)", "chromium", 3, 51.9961, 7.19)
ZINC_II = Ion("Zn(II)", "zinc", 2, 65.38, 7.14)
TIN_II = Ion("Sn(II)", "tin", 2, 118.710, 7.29)
TIN_IV = Ion("Sn(IV)", "tin", 4, 118.710, 7.29)
SILVER_I = Ion("Ag(I)", "silver", 1, 107.8682, 10.49)
GOLD_I = Ion("Au(I)", "gold", 1, 196.96657, 19.30)
GOLD_III = Ion("Au(III)", "gold", 3, 196.96657, 19.30)
CADMIUM_II = Ion("Cd(II)", "cadmium", 2, 112.414, 8.65)

IONS: tuple[Ion, ...] = (
    NICKEL_II,
    COPPER_I,
    COPPER_II,
    CHROMIUM_VI,
    CHROMIUM_III,
    ZINC_II,
    TIN_II,
    TIN_IV,
    SILVER_I,
    GOLD_I,
    GOLD_III,
    CADMIUM_II,
)


def ion(metal: str, valence: int | None = None) -> Ion:
    """The ion of a metal; without a valence only where there is but one.

    A metal that is plated from several valences is never guessed: copper from cyanide takes half the
    charge of copper from acid, and a silent choice would be wrong by that much.

    Args:
        metal: Plain name, in any case.
        valence: Electrons taken by each atom, or None.

    Raises:
        InputFault: Unknown metal, unknown valence, or a valence left open where several exist.
    """
    rows = [row for row in IONS if row.metal == metal.strip().lower()]
    if not rows:
        known = ", ".join(dict.fromkeys(row.metal for row in IONS))
        raise fault(f"{shown(metal, 60)!r} is no metal of the table", f"give one of {known}")
    valences = " or ".join(str(row.valence) for row in rows)
    if valence is None:
        if len(rows) > 1:
            raise fault(f"{rows[0].metal} is plated from several valences", f"give the valence: {valences}")
        return rows[0]
    for row in rows:
        if row.valence == valence:
            return row
    raise fault(f"{rows[0].metal} is not plated from valence {valence}", f"give {valences}")
