"""The plan as lines of a screen: narrow enough for eighty columns.

Owns the layout. Its figures are the plan's.
"""

from __future__ import annotations

import re
import textwrap

from textual.content import Content

from runner.procedure.sheet import Plan, PlannedStep
from runner.procedure.sheet_words import said_of_parts
from runner.text import shown
from runner.units import Kind, write, write_time

_CELLS = 78
"""Width of the sheet."""

_HEAD = f"{'':>3}  {'step':<27}{'set':>8}  {'density':>11}  {'time':>11}  {'thinnest':>10}"

_UNIT, _TIED = re.compile(r"(?<=[0-9]) (?=[A-Za-zµ°%])"), "\N{NO-BREAK SPACE}"
"""A figure stays on the row of its unit."""


def plan_lines(plan: Plan) -> Content:
    """One line a step, its doubts and refusals below it, the total last."""
    said = "; ".join(f"{label}: {answer}" for label, answer in said_of_parts(plan))
    lines = [hung(said, 1, "$quiet"), Content.styled(_HEAD, "$quiet")]
    for step in plan.steps:
        lines.append(Content(_line(step, plan)))
        lines += [hung(f"note: {warning}", 5, "$warning") for warning in step.warnings]
        lines += [hung(f"NO: {refusal}", 5, "$error bold") for refusal in step.refusals]
    lines.append(
        Content.styled(f"\n in the tanks {write_time(plan.total_s)}; hand work comes on top", "$quiet")
    )
    return Content("\n").join(lines)


def hung(text: str, indent: int, style: str = "") -> Content:
    """A sentence in as many rows as it needs, the later ones set in by two cells more."""
    first = " " * indent
    kept = _UNIT.sub(_TIED, shown(text))
    rows = textwrap.wrap(kept, _CELLS, initial_indent=first, subsequent_indent=first + "  ")
    return Content.styled("\n".join(rows).replace(_TIED, " "), style)


def _line(step: PlannedStep, plan: Plan) -> str:
    amps = f"{step.current_a:.3g} A" if step.current_a is not None else ""
    if not amps and step.voltage_v is not None:
        amps = f"{step.voltage_v:g} V"
    density = (
        write(step.current_density_a_dm2, Kind.DENSITY, plan.units) if step.current_density_a_dm2 else ""
    )
    time = write_time(step.dwell_s) if step.dwell_s is not None else ""
    thinnest = ""
    if step.min_thickness_um is not None:
        thinnest = write(step.min_thickness_um, Kind.THICKNESS, plan.units)
    elif step.mean_thickness_um is not None:
        thinnest = f"({write(step.mean_thickness_um, Kind.THICKNESS, plan.units, 2)})"
    return f"{step.number:>3}  {shown(step.name, 26):<27}{amps:>8}  {density:>11}  {time:>11}  {thinnest:>10}"
