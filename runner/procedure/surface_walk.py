"""How does each step change the surface?

Owns the walk of a part through its route: one pure function a kind of step. It reasons over what the tank
holds, the metal on top and the current, never over what a step is called. Must not judge: a route that ruins
the part is followed as far as it goes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import chain

from runner.plating.effects import Effect
from runner.plating.effects_table import effect
from runner.plating.families import ALUMINIUM, COVERS, IRONS, STEELS, UNKNOWN, ZINCATE
from runner.plating.sources import Figure, Known, Source
from runner.procedure.model import Procedure, Step
from runner.procedure.surface import (
    Activity,
    Cling,
    Elapsed,
    History,
    Layer,
    Soil,
    Stage,
    Surface,
    Uptake,
    Water,
)
from runner.procedure.surface_rinse import dragged_l_h, rinsed
from runner.shop.model import Shop, Tank
from runner.shop.tank_figures import solution_of, temperature_of

WARM_FROM_C = Figure(50, "°C", Source("warm metal dries by itself", Known.PRACTICE))

_ACIDS = frozenset(
    {"weak acid", "hydrochloric acid", "fluoride acid", "nitric acid", "nickel strike", "strong sulfuric"}
)
_TOUCHES = {"rack": "racked", "unrack": "unracked", "measure": "gauged", "mask": "masked", "dry": "dried"}


def starting(procedure: Procedure, basis: str) -> Surface:
    """The part as it comes in.

    Where the file does not say what lies on it, the strips do: they name what they take off.
    """
    there = procedure.existing
    if there is None:
        there = tuple(dict.fromkeys(chain.from_iterable(step.removes for step in procedure.steps)))
        there = tuple(metal for metal in there if metal != basis)
    return Surface(basis, tuple(Layer(metal) for metal in reversed(there)))


def follow(procedure: Procedure, shop: Shop, basis: str, carried_l_h: float | None = None) -> History:
    """The surface before and after each step.

    Args:
        procedure: The route.
        shop: Whose tanks it names.
        basis: The metal that the part, or this piece of an assembly, is made of.
        carried_l_h: What the loads carry over from tank to tank; that of a usual load where None.
    """
    surface = starting(procedure, basis)
    carried = dragged_l_h() if carried_l_h is None else carried_l_h
    stages: list[Stage] = []
    for step in procedure.steps:
        tank = shop.tanks.get(step.tank) if step.tank else None
        row = solution_of(tank) if tank else None
        known = effect(row.name) if row else None
        after = _timed(_changed(surface, step, tank, known, carried), surface, step, shop)
        stages.append(Stage(step, tank, row, known, surface, after))
        surface = after
    return tuple(stages)


def _timed(after: Surface, before: Surface, step: Step, shop: Shop) -> Surface:
    """With the clocks on: the step itself, and the way to the next one."""
    dwell_s = (step.dwell.most_s or step.dwell.least_s) if step.dwell else None
    way_s = step.next_within_s if step.next_within_s is not None else shop.limits.next_within_s

    def aged(clock: Elapsed | None, earlier: Elapsed | None) -> Elapsed | None:
        if clock is None:
            return None
        # A clock that this step set going counts from its end, an older one through it.
        return clock.plus(way_s) if clock is not earlier else clock.plus(dwell_s).plus(way_s)

    return replace(
        after,
        no_current=aged(after.no_current, before.no_current),
        active_for=aged(after.active_for, before.active_for),
    )


def _changed(
    surface: Surface, step: Step, tank: Tank | None, known: Effect | None, carried_l_h: float
) -> Surface:
    if tank is None:
        return _on_the_bench(surface, step, carried_l_h)
    window = temperature_of(tank).value
    surface = replace(
        surface,
        water=Water.WET,
        was_wet=True,
        warm=window is not None and window.high >= WARM_FROM_C.value,
    )
    if known is None:
        return replace(surface, film=(Cling(tank.id, tank.solution, 1.0),))
    if known.group == "water":
        return _rinsed(surface, step, tank, carried_l_h)
    surface = replace(surface, film=(Cling(tank.id, tank.solution, 1.0),))
    if step.polarity is not None:
        surface = replace(surface, no_current=Elapsed(step.number))
    if step.deposit is not None and step.polarity == "cathodic":
        return _plated(surface, step, tank, known)
    if step.does == "strip":
        return _charged(_stripped(surface, step), step, known)
    return _charged(_worked(surface, step, known), step, known)


def _passive(surface: Surface, step: Step, why: str) -> Surface:
    return replace(
        surface,
        activity=Activity.PASSIVE,
        activity_why=f"{why} in step {step.number}",
        active_for=None,
    )


def _active(surface: Surface, step: Step, why: str) -> Surface:
    return replace(
        surface,
        activity=Activity.ACTIVE,
        activity_why=f"{why} in step {step.number}",
        active_for=Elapsed(step.number),
    )


def _on_the_bench(surface: Surface, step: Step, carried_l_h: float) -> Surface:
    """Without a tank: by hand, in the oven, in the cabinet."""
    match step.does:
        case "polish" | "blast":
            # Blasting takes the surface off with what lay on it, but drives oil in.
            soil = Soil.OILY if step.does == "polish" or surface.soil is Soil.OILY else Soil.SOAKED
            layers = surface.layers
            if step.does == "blast":
                layers = tuple(layer for layer in layers if layer.metal not in COVERS)
            bare = replace(surface, layers=layers, soil=soil, soil_step=step.number, water=Water.DRY, film=())
            return _passive(bare, step, "it was worked dry")
        case "bake":
            baked = replace(surface, water=Water.DRY, warm=True, film=(), hydrogen=())
            return _passive(_touched(baked, step), step, "it oxidised in the oven")
        case "dry":
            dried = replace(surface, water=Water.DRY)
            return _passive(_touched(dried, step), step, "it was dried")
        case "rack" | "unrack" | "measure" | "mask":
            return _touched(surface, step)
        case "paint":
            painted = replace(surface, layers=(*surface.layers, Layer("paint", step=step.number)))
            return _passive(painted, step, "it was painted")
        case "strip":
            return _stripped(surface, step)
        case "clean":
            return replace(surface, soil=min(surface.soil, Soil.SOAKED), soil_step=step.number)
        case "rinse":
            return _rinsed(replace(surface, water=Water.WET, was_wet=True), step, None, carried_l_h)
        case _:
            return surface


def _touched(surface: Surface, step: Step) -> Surface:
    if step.does not in _TOUCHES and step.does != "bake":
        return surface
    return replace(surface, soil=max(surface.soil, Soil.TOUCHED), soil_step=step.number)


def _rinsed(surface: Surface, step: Step, tank: Tank | None, carried_l_h: float) -> Surface:
    surface = replace(surface, film=rinsed(surface.film, tank, carried_l_h))
    if surface.warm and surface.activity is not Activity.PASSIVE:
        return _passive(surface, step, "it was warmed and dries by itself")
    return surface


def _cleaned(surface: Surface, step: Step, known: Effect) -> Surface:
    if known.cleans == "no":
        return surface
    with_current = known.cleans == "current" and step.polarity is not None
    if with_current and surface.soil is not Soil.OILY:
        return replace(surface, soil=Soil.CLEAN, soil_step=step.number)
    return replace(surface, soil=min(surface.soil, Soil.SOAKED), soil_step=step.number)


def _worked(surface: Surface, step: Step, known: Effect) -> Surface:
    """A cleaner, a dip, a zincate, a passivate: whatever lays no metal down by current."""
    surface = _cleaned(surface, step, known)
    layers = tuple(layer for layer in surface.layers if layer.metal not in known.lifts)
    acid = known.group in _ACIDS
    if acid and layers and layers[-1].metal == ZINCATE:
        layers = layers[:-1]
    surface = replace(surface, layers=layers)
    top = surface.top
    if known.group == "zincate" and top == ALUMINIUM:
        coated = replace(surface, layers=(*layers, Layer(ZINCATE, step=step.number, solution=known.solution)))
        return _active(coated, step, "zinc took the place of the oxide")
    if known.group == "chromic acid" and step.polarity == "anodic" and top in IRONS:
        return _active(surface, step, "the reverse etch opened it")
    if top in known.activates and (acid or step.polarity != "cathodic" or top not in STEELS):
        return _active(surface, step, "it was activated")
    if acid and surface.activity is Activity.ALKALINE:
        return _active(surface, step, "acid took the alkaline film off")
    if known.group == "passivate":
        return _passive(surface, step, "it was passivated")
    if known.cleans == "current" and step.polarity == "anodic":
        return _passive(surface, step, "anodic current oxidised it")
    # Old plate is not made active by cleaning: it wants the activation made for it.
    fresh = surface.bare or surface.layers[-1].step > 0
    if known.cleans == "current" and step.polarity == "cathodic" and top not in IRONS and fresh:
        cleaned = replace(surface, active_for=None)
        return replace(
            cleaned, activity=Activity.ALKALINE, activity_why=f"it comes out of step {step.number}"
        )
    if known.alkaline and surface.activity is Activity.ACTIVE and top != ZINCATE:
        return replace(
            surface,
            activity=Activity.ALKALINE,
            activity_why=f"alkali clings to it from step {step.number}",
            active_for=None,
        )
    return surface


def _stripped(surface: Surface, step: Step) -> Surface:
    """What the step says it takes off is off, as far as it lies on top."""
    layers = list(surface.layers)
    wanted = set(step.removes)
    while layers and layers[-1].metal in wanted:
        layers.pop()
    gone = replace(surface, layers=tuple(layers))
    return _passive(gone, step, "it was stripped") if len(layers) < len(surface.layers) else surface


def _plated(surface: Surface, step: Step, tank: Tank, known: Effect) -> Surface:
    deposit = step.deposit
    assert deposit is not None
    layer = Layer(
        deposit.metal, deposit.thickness_um, deposit.type, step.number, tank.solution, step.does == "strike"
    )
    grown = replace(surface, layers=(*surface.layers, layer), soil=Soil.CLEAN, soil_step=step.number)
    if surface.basis in IRONS:
        grown = replace(grown, hydrogen=(*grown.hydrogen, Uptake(step.number, "plating", deposit=True)))
    if known.alkaline:
        return replace(
            grown,
            activity=Activity.ALKALINE,
            activity_why=f"alkali clings to it from step {step.number}",
            active_for=None,
        )
    return _active(grown, step, "it was plated")


def _charged(surface: Surface, step: Step, known: Effect) -> Surface:
    """With the hydrogen that acid without current, or cathodic current, puts into iron."""
    if surface.top not in IRONS:
        return surface
    if step.polarity == "cathodic":
        return replace(surface, hydrogen=(*surface.hydrogen, Uptake(step.number, "cathodic current")))
    if known.charges and step.polarity is None:
        return replace(surface, hydrogen=(*surface.hydrogen, Uptake(step.number, "acid")))
    return surface


def bases_of(procedure: Procedure) -> tuple[str, ...]:
    """The metals that a route is followed for: each of its basis, or each of an assembly."""
    metals: Iterable[str] = procedure.assembly or procedure.basis
    return tuple(dict.fromkeys(metals)) or (UNKNOWN,)
