"""The plan: a procedure computed for one batch.

Owns what depends on the batch as a whole: loads, totals, and whether the order can be planned at all. Each
step is computed in `plan_step`. Must not judge the trade (the rules do) or print.
"""

from __future__ import annotations

from dataclasses import dataclass

from runner.faults import Fault, InputFault
from runner.plating.sources import Figure, Known, Source
from runner.procedure.model import Procedure
from runner.procedure.plan_step import plan_step
from runner.procedure.sheet import Load, Plan, PlannedStep
from runner.shop.bounds import BOUNDS
from runner.shop.model import Shop

MOST_PIECES = 100_000

HANDLING = Figure(
    5.0, "s", Source("a hand's time at the line; the shop's limits may say otherwise", Known.PRACTICE)
)
_SENSE = Source("a bound of common sense, to catch a slipped unit or digit", Known.PRACTICE)
LEAST_PIECE = Figure(1e-4, "dm²", _SENSE)
"""A pin's head."""
MOST_AREA = Figure(10_000.0, "dm²", _SENSE)
LEAST_RATIO = Figure(0.01, "", _SENSE)

OVERSTAY = Figure(
    0.1, "", Source("share of its time that a step may run over where no longest time is set", Known.PRACTICE)
)
READ_AGAIN = Figure(
    900.0, "s", Source("an ammeter is looked at every quarter of an hour of a long step", Known.PRACTICE)
)


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be plated.

    Attributes:
        piece_dm2: Plated area of one piece.
        pieces: How many.
        tips_dm2: Bare metal of the rack's tips.
        thieves_dm2: Bare metal of thieves and shields.
        ratio: Thinnest over mean for this part on this rack; the tank's own where None.
        per_rack: What a rack holds; None for all on one.
        strength_mpa: Tensile strength of the parts' steel; what the procedure says where None.
        hollow: Whether a part has a closed hollow; None where nobody has said.
        blind: Whether it has blind holes or cups that carry solution over; None where nobody has said.
    """

    piece_dm2: float
    pieces: int
    tips_dm2: float = 0.0
    thieves_dm2: float = 0.0
    ratio: float | None = None
    per_rack: int | None = None
    strength_mpa: float | None = None
    hollow: bool | None = None
    blind: bool | None = None


def compute(procedure: Procedure, shop: Shop, order: Order) -> Plan:
    """The sheet for an order; its steps are those of the first, fullest load.

    Raises:
        InputFault: An order that is none: no pieces, no area or one of no shop, a ratio that is no ratio,
            a strength that no steel has.
    """
    _check(order)
    sizes = _loads(order)
    steps = _steps(procedure, shop, order, sizes[0])
    loads = [_load(procedure, shop, order, size) for size in dict.fromkeys(sizes)]
    by_size = {load.pieces: load for load in loads}
    limits = shop.limits
    return Plan(
        title=procedure.title,
        revision=procedure.revision,
        procedure_sha256=procedure.source.sha256,
        units=shop.units,
        basis=procedure.basis or procedure.assembly,
        finish=procedure.finish,
        piece_dm2=order.piece_dm2,
        pieces=order.pieces,
        tips_dm2=order.tips_dm2,
        thieves_dm2=order.thieves_dm2,
        per_rack=order.per_rack,
        loads=tuple(by_size[size] for size in sizes),
        handling_s=limits.handling_s if limits.handling_s is not None else HANDLING.value,
        overstay_share=limits.overstay_share if limits.overstay_share is not None else OVERSTAY.value,
        steps=steps,
        read_again_s=limits.read_again_s if limits.read_again_s is not None else READ_AGAIN.value,
        total_s=sum(step.dwell_s or 0.0 for step in steps),
        strength_mpa=order.strength_mpa if order.strength_mpa is not None else procedure.strength_mpa,
        hollow=order.hollow,
        blind=order.blind,
    )


def _check(order: Order) -> None:
    faults = []
    if not 1 <= order.pieces <= MOST_PIECES:
        faults.append(Fault(f"{order.pieces} pieces", f"give 1 to {MOST_PIECES} pieces"))
    if order.per_rack is not None and order.per_rack < 1:
        faults.append(Fault(f"a rack that holds {order.per_rack}", "give at least 1"))
    for name, area, least in (
        ("a piece's area", order.piece_dm2, LEAST_PIECE.value),
        ("bare tips", order.tips_dm2, 0.0),
        ("bare thieves", order.thieves_dm2, 0.0),
    ):
        if not least <= area <= MOST_AREA.value:
            faults.append(
                Fault(
                    f"{name} of {area:g} dm²",
                    f"give {least:g} to {MOST_AREA.value:g} dm²; look at the unit",
                )
            )
    if order.ratio is not None and not LEAST_RATIO.value <= order.ratio <= 1:
        faults.append(
            Fault(
                f"a thickness ratio of {order.ratio:g}",
                f"give thinnest over mean, {LEAST_RATIO.value:g} to 1, such as 0.6",
            )
        )
    bound = BOUNDS["strength"]
    if order.strength_mpa is not None and not bound.least <= order.strength_mpa <= bound.most:
        faults.append(
            Fault(
                f"a tensile strength of {order.strength_mpa:g} MPa",
                f"give {bound.least:g} to {bound.most:g} MPa, from the steel's certificate",
            )
        )
    if faults:
        raise InputFault(*faults)


def _loads(order: Order) -> tuple[int, ...]:
    """Pieces on each rackful: full ones first, what is left over last."""
    full, rest = divmod(order.pieces, order.per_rack or order.pieces)
    return (order.per_rack or order.pieces,) * full + ((rest,) if rest else ())


def _steps(procedure: Procedure, shop: Shop, order: Order, pieces: int) -> tuple[PlannedStep, ...]:
    planned: list[PlannedStep] = []
    for step in procedure.steps:
        planned.append(
            plan_step(
                step,
                shop,
                parts_dm2=pieces * order.piece_dm2,
                extra_dm2=order.tips_dm2 + order.thieves_dm2,
                ratio=order.ratio,
                before=tuple(planned),
            )
        )
    return tuple(planned)


def _load(procedure: Procedure, shop: Shop, order: Order, pieces: int) -> Load:
    steps = _steps(procedure, shop, order, pieces)
    return Load(pieces, tuple((step.number, step.current_a) for step in steps if step.current_a is not None))
