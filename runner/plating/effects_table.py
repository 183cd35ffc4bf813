"""What is known of each solution's effect on a surface?

Owns the whole table, with the rows of the plating solutions, and the look-up. Must not judge a procedure.
"""

from __future__ import annotations

from runner.plating.effects import Effect, Group
from runner.plating.effects_wet import WET_EFFECTS
from runner.plating.sources import Known, Source

_PLATE = Source("what platers hold of the surface", Known.PRACTICE)

_GROUPS: dict[str, Group] = {
    "watts-nickel": "nickel",
    "semi-bright-nickel": "nickel",
    "sulfamate-nickel": "nickel",
    "wood-nickel-strike": "nickel strike",
    "acid-copper": "acid copper",
    "cyanide-copper-strike": "cyanide",
    "cyanide-copper": "cyanide",
    "alkaline-copper": "copper without cyanide",
    "hexavalent-chromium": "chromic acid",
    "hard-chromium": "chromic acid",
    "trivalent-chromium": "trivalent chromium",
    "chloride-zinc": "zinc",
}

_ALKALINE = frozenset({"cyanide", "copper without cyanide"})

EFFECTS: dict[str, Effect] = {
    row.solution: row
    for row in (
        *WET_EFFECTS,
        *(Effect(name, group, _PLATE, alkaline=group in _ALKALINE) for name, group in _GROUPS.items()),
    )
}
"""Every row by the name of its solution."""


def effect(solution: str | None) -> Effect | None:
    """What a solution does, or None where nothing is known of it."""
    return EFFECTS.get(solution) if solution is not None else None
