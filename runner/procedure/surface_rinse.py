"""How strong is the film that a rinse leaves on the part?

Owns the load that rinses are reckoned for, and the step from a tank's stages and flow to a share of the
film. Must not know which tank bears how much (`runner.plating.carryover`).
"""

from __future__ import annotations

from dataclasses import replace

from runner.plating.carryover import LEAST_SHARE_TO_COUNT
from runner.plating.dragout import drag_out
from runner.plating.rinsing import counterflow_ratio
from runner.plating.sources import Figure, Known, Source
from runner.procedure.surface import Cling
from runner.shop.model import Tank

_ASSUMED = Source("a busy line by hand; a shop that knows its own counts it itself", Known.PRACTICE)

LOADS_PER_HOUR = Figure(6, "loads an hour", _ASSUMED)
LOAD_AREA_DM2 = Figure(20, "dm²", _ASSUMED)
DRAINAGE = drag_out("vertical", "very poorly drained")
CUPS = drag_out("cup-shaped", "very poorly drained")
UNSTATED_RATIO = Figure(100, "times a stage, where the shop states no flow", _ASSUMED)


def dragged_l_h(area_dm2: float | None = None, *, cups: bool = False) -> float:
    """Litres an hour that loads of an area carry over, by the assumptions above.

    Args:
        area_dm2: Of one load; a usual one where None.
        cups: Whether the parts have blind holes or cups, which hold solution back.
    """
    area_m2 = (LOAD_AREA_DM2.value if area_dm2 is None else area_dm2) / 100
    return (CUPS if cups else DRAINAGE).high_ml_m2 * area_m2 * LOADS_PER_HOUR.value / 1000


def rinse_ratio(tank: Tank | None, carried_l_h: float) -> tuple[float, bool]:
    """How many times a rinse thins a film, and whether the shop's own figures say so."""
    figures = tank.rinse if tank else None
    stages = figures.stages if figures else 1
    if figures is None or figures.flow_l_h is None:
        return UNSTATED_RATIO.value**stages, False
    if carried_l_h <= 0:
        return UNSTATED_RATIO.value**stages, True
    return counterflow_ratio(figures.flow_l_h / carried_l_h, stages), True


def rinsed(film: tuple[Cling, ...], tank: Tank | None, carried_l_h: float) -> tuple[Cling, ...]:
    """A film after a rinse; what has become too thin to count is left out, but for the newest."""
    ratio, sure = rinse_ratio(tank, carried_l_h)
    thinner = tuple(
        replace(cling, share=cling.share / ratio, rinses=cling.rinses + 1, sure=cling.sure and sure)
        for cling in film
    )
    return tuple(cling for cling in thinner if cling.share >= LEAST_SHARE_TO_COUNT)
