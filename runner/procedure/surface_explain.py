"""The surface told step by step, for people.

Owns the lines of ``--explain``. Must not know the rules.
"""

from __future__ import annotations

from msgspec.structs import replace

from runner.plating.solutions import SOLUTIONS
from runner.procedure.sheet import Plan
from runner.procedure.surface import Cling, History, Layer, Soil, Stage, Surface
from runner.text import shown
from runner.units import write_time

_SOIL = {
    Soil.CLEAN: "clean",
    Soil.SOAKED: "soaked",
    Soil.TOUCHED: "handled or dried",
    Soil.OILY: "oily",
}

_TRACE = 1e-5
"""Share of a solution below which a film is told as less than that: a figure would say too much."""


def _layer(layer: Layer) -> str:
    figure = "" if layer.thickness_um is None else f" {layer.thickness_um:.3g} µm"
    return f"{layer.metal}{figure}"


def _cling(cling: Cling) -> str:
    title = SOLUTIONS[cling.solution].title
    if cling.share >= 1:
        return title
    if cling.share < _TRACE:
        return f"{title} less than 1 in {1 / _TRACE:,.0f}"
    about = "" if cling.sure else "about "
    return f"{title} {about}1 in {float(f'{1 / cling.share:.2g}'):,.0f}"


def describe(surface: Surface) -> str:
    """A surface in one line."""
    metals = " on ".join([*(_layer(layer) for layer in reversed(surface.layers)), surface.basis])
    words = [metals, str(surface.activity), _SOIL[surface.soil], str(surface.water)]
    if surface.warm:
        words.append("warm")
    if surface.film:
        words.append("film: " + " and ".join(_cling(cling) for cling in surface.film))
    if surface.hydrogen:
        words.append("hydrogen from step " + ", ".join(str(took.step) for took in surface.hydrogen))
    if surface.no_current is not None:
        most = write_time(surface.no_current.most_s)
        words.append(
            f"up to {most} since current" if surface.no_current.complete else f"{most} or more since current"
        )
    return "; ".join(words)


def _stage(stage: Stage) -> str:
    return f"{stage.number:3}  {shown(stage.step.name, 60)}: {describe(stage.after)}"


def with_surfaces(plan: Plan, history: History) -> Plan:
    """The plan with what the surface is after each step, for whoever learns beside the tank."""
    steps = tuple(
        replace(step, surface=describe(stage.after)) for step, stage in zip(plan.steps, history, strict=True)
    )
    return replace(plan, steps=steps)


def explain(history: History) -> list[str]:
    """The surface as it comes in, and after each step."""
    if not history:
        return []
    return [f"  0  as it comes in: {describe(history[0].before)}", *(_stage(stage) for stage in history)]
