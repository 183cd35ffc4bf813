"""The certificate of conformity: one page for the customer, of a released batch that proves.

Owns what may be said to a customer. It states what was asked for and what was done; it claims no standard,
and says where a thickness is computed and not measured.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from runner.batch.moment import Moment
from runner.batch.state import BatchState, Phase
from runner.record.report import bars
from runner.record.report.checks import asked_for, seen
from runner.record.report.departures import findings
from runner.record.report.figures import NONE, Figures, when
from runner.record.report.material import Material
from runner.record.report.mended import mended
from runner.record.report.rows import mean_u_um
from runner.record.report.steps import latest_deposits
from runner.record.report.view import TRUST, page_note
from runner.units import Kind

GAUGE_UNITS = frozenset({"µm", "um", "mil"})
"""Units in which a check asks for a gauge's reading of a deposit; a part's own size is asked in mm or in."""


@dataclass(frozen=True, slots=True)
class Layer:
    """One deposit."""

    step: int
    what: str
    asked_um: str
    planned_min: str
    mean: str
    thinnest: str


@dataclass(frozen=True, slots=True)
class Certificate:
    """Everything that the certificate's template draws."""

    shop: str
    batch: str
    facts: tuple[tuple[str, str], ...]
    layers: tuple[Layer, ...]
    gauged: tuple[tuple[str, str, str], ...]
    deviations: tuple[str, ...]
    signed_by: str
    signed_role: str
    signed_at: str
    signed_meaning: str
    key: str
    hash: str
    qr: Markup
    verdict: str
    trust: str
    owner: str
    printed: str
    page_note: str


def refusal(material: Material) -> str | None:
    """Why no certificate can be given, or None where one can."""
    state = material.folded.state if material.folded else None
    if state is None or material.stopped:
        return "its journal cannot be read to its end"
    if state.opened.mode != "production":
        return "it is practice: no parts were plated"
    if not state.phase.ended:
        return f"it is open: {state.phase}"
    if state.phase is not Phase.RELEASED:
        return "it was abandoned, and nothing was released"
    if material.proof.status != "sealed":
        return "it is not sealed"
    if not material.verdict.ok:
        first = material.verdict.findings[0]
        return f"it does not prove: {first.where}: {first.what}"
    return None


def certificate(material: Material, printed: Moment) -> Certificate:
    """The certificate of a batch for which `refusal` finds no reason against one."""
    assert material.folded is not None and material.record_sha256 is not None
    state = material.folded.state
    opened, plan, by = state.opened, state.opened.plan, state.ended_by
    assert by is not None
    figures = Figures(plan.units)
    facts = (
        ("part", opened.part or NONE),
        ("customer's reference", opened.customer or NONE),
        ("pieces released", str(state.released_pieces)),
        ("basis metal", ", ".join(plan.basis) or NONE),
        ("designation asked for", plan.finish or "none stated"),
        ("procedure", f"{plan.title}, revision {plan.revision}"),
        ("procedure SHA-256", plan.procedure_sha256),
        ("worked", f"{when(state.opened_at)} to {when(state.last)} UTC"),
    )
    return Certificate(
        shop=opened.shop,
        batch=opened.batch,
        facts=facts,
        layers=_layers(state, figures),
        gauged=_gauged(state, figures),
        deviations=(*_overridden(state), *_deviations(state, figures)),
        signed_by=by.name,
        signed_role=by.role,
        signed_at=when(state.last),
        signed_meaning="released the batch",
        key=by.key,
        hash=material.record_sha256,
        qr=bars.qr(material.record_sha256, 116),
        verdict=material.verdict.said,
        trust=TRUST[material.verdict.trust].partition(":")[0],
        owner=material.owner or NONE,
        printed=when(printed),
        page_note=page_note(material),
    )


def _overridden(state: BatchState) -> Iterator[str]:
    """What was walked against a rule of the trade, on somebody's responsibility."""
    for one in findings(state):
        if one.taken.startswith("overridden"):
            yield f"against a rule of the trade, {one.against}; {one.taken}"


def _deviations(state: BatchState, figures: Figures) -> Iterator[str]:
    for one in state.deviations:
        told = f"{one.number}. step {one.step}, {one.what}: {one.detail}; {one.disposition}"
        put_right = mended(state, one, figures)
        yield f"{told}. {put_right}" if put_right else told


def _layers(state: BatchState, figures: Figures) -> tuple[Layer, ...]:
    layers = []
    for step, run, done in latest_deposits(state):
        times = f", last of {run.attempt} times through" if run.attempt > 1 else ""
        kind = f"{step.deposit_type} " if step.deposit_type else ""
        layers.append(
            Layer(
                step=step.number,
                what=f"{kind}{step.metal} ({step.name}{times})",
                asked_um=figures.of(step.target_um, Kind.THICKNESS),
                planned_min=figures.of(step.min_thickness_um, Kind.THICKNESS),
                mean=figures.thickness(done.mean_um, mean_u_um(step, done.mean_um)),
                thinnest=NONE if done.min_um is None else figures.of(done.min_um, Kind.THICKNESS),
            )
        )
    return tuple(layers)


def _gauged(state: BatchState, figures: Figures) -> tuple[tuple[str, str, str], ...]:
    """What a gauge said, by the last answer to each check that asks in a gauge's unit."""
    readings: dict[tuple[int, int], tuple[str, str, str]] = {}
    for run in state.runs:
        step = state.opened.plan.step(run.step)
        for answer in run.answers:
            check = step.checks[answer.check]
            if check.unit in GAUGE_UNITS and answer.value is not None:
                row = (check.ask, asked_for(check, figures), seen(check, answer, figures))
                readings[run.step, answer.check] = row
    return tuple(readings.values())
