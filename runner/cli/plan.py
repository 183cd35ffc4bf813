"""``tankwalk plan``: the computed sheet for one batch."""

from __future__ import annotations

from pathlib import Path

import click

from runner.cli.common import (
    FINE,
    NO,
    Quantity,
    json_option,
    part_options,
    print_json,
    said,
    shop_folder,
    shop_option,
)
from runner.faults import Fault, InputFault, fault
from runner.plain_data import to_data
from runner.procedure.model import Procedure
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.procedure.sheet import Plan
from runner.shop.model import Rack, Shop
from runner.shop.reading import load_shop
from runner.text import shown
from runner.units import Kind


@click.command(name="plan")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--area", type=Quantity(Kind.AREA), required=True, help="Plated area of one piece.")
@click.option("--pieces", type=int, required=True)
@click.option("--tips", type=Quantity(Kind.AREA, zero=True), help="Bare rack tips: they take current.")
@click.option("--thieves", type=Quantity(Kind.AREA, zero=True), help="Bare thieves: they take current.")
@click.option("--ratio", type=float, help="Thinnest over mean, from the gauge, such as 0.6.")
@click.option("--per-rack", type=int, help="Pieces that a rack holds; more become loads.")
@click.option("--rack", help="A rack of the shop: its pieces and tips, where those are not given.")
@part_options
@shop_option
@json_option
def command(
    *,
    file: Path,
    area: float,
    pieces: int,
    tips: float | None,
    thieves: float | None,
    ratio: float | None,
    per_rack: int | None,
    rack: str | None,
    strength: float | None,
    hollow: str | None,
    blind: str | None,
    shop: Path | None,
    as_json: bool,
) -> int:
    """The computed sheet for a batch: currents, times, thickness, loads.

    Exits 1 where a load cannot be run: more current than the rectifier gives, more area than a tank takes.
    """
    standing = load_shop(shop_folder(shop, file))
    procedure = load_procedure(file, standing)
    if rack is not None:
        hung = _rack(standing, rack)
        per_rack = per_rack if per_rack is not None else hung.holds
        tips = tips if tips is not None else hung.tips_dm2
    order = Order(
        area, pieces, tips or 0.0, thieves or 0.0, ratio, per_rack, strength, said(hollow), said(blind)
    )
    plan = compute(procedure, standing, order)
    if as_json:
        print_json(to_data(plan))
    else:
        from runner.cli.plan_table import print_plan  # noqa: PLC0415  # JSON needs no table

        print_plan(plan)
    return NO if _refused(plan) else FINE


def _rack(shop: Shop, name: str) -> Rack:
    if name not in shop.racks:
        known = ", ".join(sorted(shop.racks)) or "none"
        raise fault(f"no rack {shown(name, 40)!r} hangs in this shop", f"racks: {known}", "--rack")
    return shop.racks[name]


def runnable(procedure: Procedure, shop: Shop, order: Order) -> Plan:
    """The plan of a load that is going to be walked.

    Raises:
        InputFault: It cannot be run here.
    """
    plan = compute(procedure, shop, order)
    if reasons := _refused(plan):
        file = procedure.source.file
        raise InputFault(*(Fault(reason, "change the load or the shop", file) for reason in reasons))
    return plan


def _refused(plan: Plan) -> tuple[str, ...]:
    """Why the plan cannot be run, step by step."""
    return tuple(f"step {step.number}: {reason}" for step in plan.steps for reason in step.refusals)
