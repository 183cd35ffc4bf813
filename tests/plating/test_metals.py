"""Which ion a metal is deposited from."""

from __future__ import annotations

import pytest

from runner.faults import InputFault
from runner.plating.metals import IONS, ion


@pytest.mark.parametrize("metal", ["nickel", "zinc", "silver", "cadmium", " Nickel "])
def test_a_metal_of_one_valence_needs_none(metal: str) -> None:
    """Case and blanks at the ends do not matter."""
    assert ion(metal).metal == metal.strip().lower()


@pytest.mark.parametrize("metal", ["copper", "chromium", "tin", "gold"])
def test_a_metal_of_several_valences_is_never_guessed(metal: str) -> None:
    """Guessing would be wrong by a factor of two or three."""
    with pytest.raises(InputFault, match="several valences; give the valence"):
        ion(metal)


@pytest.mark.parametrize("row", IONS, ids=lambda row: row.name)
def test_every_ion_is_found_by_metal_and_valence(row: object) -> None:
    """Metal and valence name an ion, and no two share them."""
    found = [ion(other.metal, other.valence) for other in IONS if other == row]
    assert found == [row]


def test_an_unknown_metal_or_valence_is_refused_with_a_remedy() -> None:
    """The remedy lists what there is; a hostile name is shown without its controls."""
    with pytest.raises(InputFault, match="give one of nickel, copper"):
        ion("unobtainium\x1b[31m")
    with pytest.raises(InputFault, match="copper is not plated from valence 3; give 1 or 2"):
        ion("copper", 3)
    with pytest.raises(InputFault) as caught:
        ion("\x1b[31mred")
    assert "\x1b" not in str(caught.value)
