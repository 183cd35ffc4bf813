"""Coating designations of ISO 1456 and ASTM B456 as the Metal Finishing Guidebook prints them.

``Fe/Ni35d Cr mp`` and its letters were read on p. 227; the other codes are rows of the service tables, from
memory unless said otherwise.
"""

from __future__ import annotations

import pytest

from runner.plating.finish import finish_json, read_finish

CODES = (
    ("Fe/Ni35d Cr mp", "steel", (("nickel", 35, "double"), ("chromium", 0.3, "microporous"))),
    ("Fe/Ni40d Cr r", "steel", (("nickel", 40, "double"), ("chromium", 0.3, "regular"))),
    ("Fe/Ni30d Cr mc", "steel", (("nickel", 30, "double"), ("chromium", 0.3, "microcracked"))),
    ("Fe/Ni25d Cr mc", "steel", (("nickel", 25, "double"), ("chromium", 0.3, "microcracked"))),
    ("Fe/Ni40p Cr r", "steel", (("nickel", 40, "dull"), ("chromium", 0.3, "regular"))),
    ("Fe/Ni20b Cr r", "steel", (("nickel", 20, "bright"), ("chromium", 0.3, "regular"))),
    (
        "Fe/Cu20a/Ni30d/Cr mp",
        "steel",
        (("copper", 20, "ductile"), ("nickel", 30, "double"), ("chromium", 0.3, "microporous")),
    ),
    (
        "Zn/Cu5 Ni35d Cr r",
        "zinc alloy",
        (("copper", 5, None), ("nickel", 35, "double"), ("chromium", 0.3, "regular")),
    ),
    ("Cu/Ni15b Cr r", "copper", (("nickel", 15, "bright"), ("chromium", 0.3, "regular"))),
    ("Al/Ni50d Cr r", "aluminium", (("nickel", 50, "double"), ("chromium", 0.3, "regular"))),
    ("Fe/Ni25d Cr0.8 mc", "steel", (("nickel", 25, "double"), ("chromium", 0.8, "microcracked"))),
    ("Fe/Zn12", "steel", (("zinc", 12, None),)),
)


@pytest.mark.parametrize(("code", "basis", "layers"), CODES)
def test_codes_are_read(code: str, basis: str, layers: tuple[tuple[str, float, str | None], ...]) -> None:
    """Basis and every layer with its thickness and letter; chromium without a figure is 0.3 µm."""
    finish = read_finish(code)
    assert finish.basis == basis
    assert tuple((layer.metal, layer.thickness_um, layer.type) for layer in finish.layers) == layers


def test_a_code_as_json() -> None:
    """The document that scripts rely on, whole figures without a decimal point."""
    found = finish_json(read_finish("Fe/Ni30d Cr mp"))
    assert found == {
        "basis": "steel",
        "layers": [
            {"metal": "nickel", "thickness_um": 30, "type": "double"},
            {"metal": "chromium", "thickness_um": 0.3, "type": "microporous"},
        ],
    }
    assert isinstance(found["layers"][0]["thickness_um"], int)
