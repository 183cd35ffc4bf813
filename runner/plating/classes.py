"""Which chemical class is a solution of?

Owns the names of the classes by which solutions are kept apart. Must not know the solutions, nor which
classes may meet: that is a rule of the trade.
"""

from __future__ import annotations

from enum import StrEnum


class ChemicalClass(StrEnum):
    """What a solution is to its neighbours, drains and ducts; one solution may be of several."""

    ACID = "acid"
    """Any pH below neutral, a nickel bath as much as a pickle: each frees gas from cyanide."""
    CYANIDE = "cyanide"
    OXIDISER = "oxidiser"
    """Chromic and nitric acid: sets fire to what burns."""
    CAUSTIC = "caustic"
    HYPOCHLORITE = "hypochlorite"
    SULFIDE = "sulfide"
    BISULFITE = "bisulfite"
    ORGANIC = "organic"
    """Solvents, oils, and whatever else burns."""
    AMMONIACAL = "ammoniacal"
