"""Rules that guard people at wheels, in blast cabinets and at ovens.

What they call a danger may not be overridden.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from runner.plating.families import COVERS
from runner.plating.polishing import FASTEST_M_S, FASTEST_SOURCE, SILICA_SOURCE, WHEEL_SPEEDS, holds_silica
from runner.plating.severity import Severity
from runner.plating.sources import Figure, Known, Source
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.surface import Stage
from runner.shop.tank_figures import temperature_of
from runner.text import shown

GUARDS = "wheels, blasting and hollow parts"

_HANDLING = 1.01
"""A speed written in ft/min and read in m/s is not over by a rounding."""

HOLLOW_HOT_C = Figure(60, "°C", Source("closed hollow parts burst when heated", Known.PRACTICE))

_GLOVES = re.compile(r"\b(?:gloves|gauntlets)\b", re.IGNORECASE)
_OFF = re.compile(r"\b(?:no|without|never|off)\b", re.IGNORECASE)


@rule(
    "wheel-too-fast",
    GUARDS,
    Severity.DANGER,
    "No wheel runs faster than any printed speed, and none over the speed for its metal.",
    FASTEST_SOURCE,
    overridable=False,
)
def wheel_too_fast(case: Case) -> Iterator[Found]:
    """A polish step's wheel against the printed speeds."""
    for stage in case.history:
        wheel = stage.step.wheel
        if wheel is None:
            continue
        if wheel.speed_m_s > FASTEST_M_S * _HANDLING:
            yield Found(
                stage,
                f"the wheel runs at {wheel.speed_m_s:.1f} m/s, where {FASTEST_M_S:.1f} m/s is the "
                "most in print",
                "A wheel over its speed flies apart.",
                "Take a slower spindle or a smaller wheel, and never go over the speed marked on the wheel.",
            )
            continue
        top = case.basis if stage.before.top in COVERS else stage.before.top
        for row in WHEEL_SPEEDS:
            if top in row.metals and wheel.speed_m_s > row.most_m_s * _HANDLING:
                yield Found(
                    stage,
                    f"{wheel.speed_m_s:.1f} m/s is fast for {top}, where {row.most_m_s:.1f} m/s is "
                    "the most in print",
                    "It heats the metal, drags it and burns the edges.",
                    "Take a slower spindle or a smaller wheel.",
                    Severity.DOUBT,
                    row.source,
                )


@rule(
    "gloves-at-the-spindle",
    GUARDS,
    Severity.DANGER,
    "Gloves come off at a polishing spindle.",
    Source("what every polisher is taught", Known.PRACTICE),
    overridable=False,
)
def gloves_at_the_spindle(case: Case) -> Iterator[Found]:
    """A polish step whose own PPE asks for gloves."""
    for stage in case.history:
        if stage.step.does == "polish" and stage.tank is None:
            asked = next((p for p in stage.step.ppe if _GLOVES.search(p) and not _OFF.search(p)), None)
            if asked:
                yield Found(
                    stage,
                    f'PPE "{shown(asked, 60)}" is asked for at a polishing spindle',
                    "A spindle takes a glove, and the hand with it.",
                    "Take it out of the step's PPE: bare hands, sleeves tight, goggles and dust mask.",
                )


@rule(
    "silica-in-the-blast",
    GUARDS,
    Severity.DANGER,
    "Nothing with free silica is blasted with, dry or wet.",
    SILICA_SOURCE,
    overridable=False,
)
def silica_in_the_blast(case: Case) -> Iterator[Found]:
    """The words for the medium of a blast step."""
    for stage in case.history:
        media = stage.step.media
        if media and stage.step.does == "blast" and holds_silica(media):
            yield Found(
                stage,
                f'"{shown(media, 60)}" holds free silica',
                "Its dust scars the lungs for good (silicosis), and is forbidden for blasting in "
                "many places.",
                "Blast with aluminium oxide, glass bead or another medium without free silica.",
            )


@rule(
    "hollow-part-heated",
    GUARDS,
    Severity.DANGER,
    "A closed hollow part goes into no oven and no hot tank.",
    HOLLOW_HOT_C.source,
    overridable=False,
)
def hollow_part_heated(case: Case) -> Iterator[Found]:
    """Asked only of parts that are said to be hollow."""
    if not case.facts.hollow:
        return
    told_of_tanks = False
    for stage in _heated(case):
        oven = stage.step.does == "bake"
        if oven or not told_of_tanks:
            told_of_tanks = told_of_tanks or not oven
            yield Found(
                stage,
                f"a closed hollow part is heated {'in the oven' if oven else 'in the tank'}",
                "Air and liquid inside swell and burst it; what got in boils.",
                "Open a vent and a drain with the owner's leave, or refuse the part.",
            )


@rule(
    "hollow-not-known",
    GUARDS,
    Severity.DOUBT,
    "Before parts are heated somebody says whether they have closed hollows.",
    HOLLOW_HOT_C.source,
)
def hollow_not_known(case: Case) -> Iterator[Found]:
    """Asked of a batch alone: a route by itself has no parts."""
    if not case.facts.booked or case.facts.hollow is not None:
        return
    if (stage := next(_heated(case), None)) is not None:
        yield Found(
            stage,
            "nobody has said whether a part has a closed hollow, and it is heated here",
            "Air and liquid in a closed hollow swell and burst it.",
            "Not known: ask the chargehand. Look for vents, weigh it, shake it; then book it with yes or no.",
        )


def _heated(case: Case) -> Iterator[Stage]:
    """The steps in an oven or a hot tank."""
    for stage in case.history:
        window = temperature_of(stage.tank).value if stage.tank else None
        hot = window is not None and window.high >= HOLLOW_HOT_C.value
        if hot or stage.step.does == "bake":
            yield stage


RULES: tuple[Rule, ...] = (
    silica_in_the_blast,
    wheel_too_fast,
    gloves_at_the_spindle,
    hollow_part_heated,
    hollow_not_known,
)
