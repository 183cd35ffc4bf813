"""A second printed table of theoretical deposit amounts, 2013 (read in a secondary copy).

It prints its own densities, so both columns are checked: mass as it stands, growth with its density.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from runner.plating import faraday
from runner.plating.metals import ion

PRINTED = (
    ("zinc", 2, 1.220, 7.1, 0.286),
    ("cadmium", 2, 2.097, 8.64, 0.405),
    ("gold", 1, 7.351, 19.3, 0.635),
    ("gold", 3, 2.450, 19.3, 0.212),
    ("silver", 1, 4.026, 10.5, 0.639),
    ("chromium", 6, 0.3234, 7.1, 0.076),
    ("chromium", 3, 0.6468, 7.1, 0.152),
    ("tin", 4, 1.107, 7.3, 0.253),
    ("tin", 2, 2.215, 7.3, 0.506),
    ("copper", 2, 1.186, 8.92, 0.222),
    ("copper", 1, 2.371, 8.92, 0.443),
    ("nickel", 2, 1.095, 8.9, 0.205),
)
"""Metal, valence, g/A·h, density in g/cm³, µm for each A·min/dm²."""


@pytest.mark.parametrize(("metal", "valence", "g_per_ah", "density", "um_per_amin_dm2"), PRINTED)
def test_mass_and_growth(
    metal: str, valence: int, g_per_ah: float, density: float, um_per_amin_dm2: float
) -> None:
    """Grams an ampere-hour, and micrometres an ampere-minute on a square decimetre, to their rounding."""
    row = ion(metal, valence)
    assert faraday.g_per_ah(row) == pytest.approx(g_per_ah, rel=5e-4)
    growth = faraday.mean_thickness_um(replace(row, density_g_cm3=density), 1 / 60, 1, 1)
    assert growth == pytest.approx(um_per_amin_dm2, abs=0.00055)
