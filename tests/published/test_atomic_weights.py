"""Atomic weights (IUPAC) and densities of the elements, as a library of the periodic table has them."""

from __future__ import annotations

import periodictable
import pytest

from runner.plating.metals import IONS, Ion

_SYMBOLS = {
    "nickel": "Ni",
    "copper": "Cu",
    "chromium": "Cr",
    "zinc": "Zn",
    "tin": "Sn",
    "silver": "Ag",
    "gold": "Au",
    "cadmium": "Cd",
}


@pytest.mark.parametrize("ion", IONS, ids=lambda ion: ion.name)
def test_molar_mass_is_the_atomic_weight(ion: Ion) -> None:
    """IUPAC standard atomic weights, to the last digit that the library prints."""
    assert ion.molar_mass_g == periodictable.elements.symbol(_SYMBOLS[ion.metal]).mass


@pytest.mark.parametrize("ion", IONS, ids=lambda ion: ion.name)
def test_density_is_that_of_the_bulk_metal(ion: Ion) -> None:
    """Bulk density within the spread of handbooks, a third of a percent."""
    expected = periodictable.elements.symbol(_SYMBOLS[ion.metal]).density
    assert ion.density_g_cm3 == pytest.approx(expected, rel=0.0035)
