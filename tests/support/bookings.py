"""What is typed into the booking of parts, in the order in which the form asks. Invented."""

from __future__ import annotations

from runner.screens.booking import FIELDS

SAID = {
    "part": "stirrup irons",
    "customer": "C-0417",
    "pieces": "2",
    "area": "5 dm²",
    "hollow": "n",
    "blind": "n",
}
"""Two solid, open pieces, their strength not known: a fault in the form is said by naming its field."""


def typed(**said: str) -> tuple[str, ...]:
    """The answers for parts of steel, one a field; fields that nobody speaks of stay empty."""
    names = [field.name for field in FIELDS]
    assert said.keys() <= set(names)
    return tuple((SAID | said).get(name, "") for name in names)
