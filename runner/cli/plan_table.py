"""The plan as a table to read or to print."""

from __future__ import annotations

import sys
from itertools import groupby

from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from runner.procedure.sheet import Plan, PlannedStep
from runner.procedure.sheet_words import said_of_parts
from runner.text import shown
from runner.units import Kind, write, write_time

_COLUMNS = (
    "",
    "step",
    "tank",
    "set",
    "load",
    "density",
    "time",
    "A·h",
    "metal",
    "mean",
    "thinnest",
    "next within",
    "sign",
)
_TEXTS = {"step", "tank", "sign"}
_NAMES = {"step", "tank"}
_WIDE_ONLY = {"tank", "load", "A·h", "metal", "mean", "next within", "sign"}
_WIDE = 120
"""Columns that a narrow terminal does without, and what is narrow."""


def console() -> Console:
    """Standard output for tables: no markup, no guessed highlights, as wide as what reads it allows."""
    wide = None if sys.stdout.isatty() else 180
    return Console(markup=False, highlight=False, emoji=False, width=wide)


def print_plan(plan: Plan) -> None:
    """Print the sheet."""
    out = console()
    units = plan.units
    alike = [(len(list(same)), pieces) for pieces, same in groupby(load.pieces for load in plan.loads)]
    loads = " + ".join(f"{count} × {pieces}" if count > 1 else f"{pieces}" for count, pieces in alike)
    out.print(Text(f"{shown(plan.title)}, revision {shown(plan.revision)}"), style="bold")
    out.print(Text(f"{plan.pieces} pieces of {write(plan.piece_dm2, Kind.AREA, units)} in loads of {loads}"))
    if plan.tips_dm2 or plan.thieves_dm2:
        tips, thieves = (write(area, Kind.AREA, units) for area in (plan.tips_dm2, plan.thieves_dm2))
        out.print(Text(f"bare tips {tips} and thieves {thieves} take current and no part's thickness"))
    out.print(Text("; ".join(f"{label}: {answer}" for label, answer in said_of_parts(plan))))
    out.print(_table(plan, wide=out.width >= _WIDE))
    for step in plan.steps:
        for warning in step.warnings:
            out.print(Text(f"note  step {step.number} {shown(step.name, 40)}: {warning}"))
        for refusal in step.refusals:
            out.print(Text(f"NO    step {step.number} {shown(step.name, 40)}: {refusal}"), style="bold")
    sure = [step for step in plan.steps if step.mean_expanded_u_um is not None]
    if sure:
        out.print(Text("± is the expanded uncertainty (k = 2) from the ammeter alone."))
    out.print(Text(f"one load takes {write_time(plan.total_s)} in its tanks; hand work comes on top"))


def _table(plan: Plan, *, wide: bool) -> Table:
    """The rows; names give way where there is no room, figures never do."""
    columns = [name for name in _COLUMNS if wide or name not in _WIDE_ONLY]
    rows = [dict(zip(_COLUMNS, _row(step, plan), strict=True)) for step in plan.steps]
    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)
    for name in columns:
        least = 8 if name in _NAMES else max(len(text) for text in (name, *(row[name] for row in rows)))
        table.add_column(name, justify="left" if name in _TEXTS else "right", no_wrap=True, min_width=least)
    for row in rows:
        table.add_row(*(Text(row[name]) for name in columns))
    return table


def _set(step: PlannedStep) -> str:
    """Amps or volts to set; likely volts in brackets, where the solution's row knows them."""
    if step.voltage_v is not None:
        return f"{step.voltage_v:g} V"
    if step.current_a is None:
        return ""
    likely = ""
    if step.volts_low_v is not None and step.volts_high_v is not None:
        likely = f" ({step.volts_low_v:g}-{step.volts_high_v:g} V)"
    return f"{step.current_a:.3g} A{likely}"


def _time(step: PlannedStep) -> str:
    """The dwell, or its window with the unit said once where both ends have the same."""
    if step.dwell_s is None:
        return ""
    least = write_time(step.dwell_s)
    if step.dwell_max_s is None:
        return least
    most = write_time(step.dwell_max_s)
    (figure, _, unit), (_, _, most_unit) = least.partition(" "), most.partition(" ")
    return f"{figure}-{most}" if unit == most_unit else f"{least} - {most}"


def _load(step: PlannedStep) -> str:
    """What the load takes of its rectifier."""
    if step.current_a is None or not step.rectifier_max_a:
        return ""
    return f"{step.current_a / step.rectifier_max_a:.0%} {step.rectifier}"


def _row(step: PlannedStep, plan: Plan) -> tuple[str, ...]:
    units = plan.units
    mean = write(step.mean_thickness_um, Kind.THICKNESS, units) if step.mean_thickness_um is not None else ""
    if step.mean_expanded_u_um is not None:
        figure, unit = mean.rsplit(" ", 1)
        sure = write(step.mean_expanded_u_um, Kind.THICKNESS, units, 1).rsplit(" ", 1)[0]
        mean = f"{figure} ± {sure} {unit}"
    return (
        str(step.number),
        shown(step.name, 40),
        shown(step.tank_title or "", 22),
        _set(step),
        _load(step),
        write(step.current_density_a_dm2, Kind.DENSITY, units) if step.current_density_a_dm2 else "",
        _time(step),
        f"{step.charge_ah:.3g}" if step.charge_ah is not None else "",
        write(step.deposited_g, Kind.MASS, units) if step.deposited_g is not None else "",
        mean,
        write(step.min_thickness_um, Kind.THICKNESS, units) if step.min_thickness_um is not None else "",
        write_time(step.next_within_s) if step.next_within_s is not None else "",
        step.sign or "",
    )
