"""Which metals behave alike?

Owns the families by which tables speak of metals. Basis metals carry the names of the procedure's closed
list; a deposit carries the metal's own name, the film of a zincate the name below. Must not know what is
done to them.
"""

from __future__ import annotations

STEELS = frozenset({"low-carbon steel", "high-carbon steel", "cast iron"})
"""Iron that rusts."""

IRONS = STEELS | {"stainless steel"}
"""All that takes up hydrogen and may be hardened."""

COPPERS = frozenset({"copper", "brass", "leaded brass", "bronze"})
"""Copper and the alloys that behave like it in a cleaner, a dip or a strip."""

DIE_CAST = "zinc die-cast"
ALUMINIUM = "aluminium"
STAINLESS = "stainless steel"
LEADED = "leaded brass"

ZINCATE = "zincate film"
"""The immersion zinc on aluminium."""

LIGHT = frozenset({DIE_CAST, "zinc", ALUMINIUM, ZINCATE})
"""Metals that acid and caustic alike dissolve."""

COVERS = frozenset(
    {"paint", "lacquer", "powder coat", "enamel", "rust", "scale", "oxide", "chromate film", "phosphate film"}
)
"""What lies on a part and takes no deposit."""

UNKNOWN = "unknown"
"""The closed list's own word for what nobody has found out."""
