"""Record format 1: what a batch's record says and how its figures are rounded.

Frozen once a record has been released with it: a change here would make old records fail. A new layout is
a new file beside this one. Must take everything from the folded journal.
"""

from __future__ import annotations

from typing import Any

from runner.batch.moment import Moment, elapsed_s, rfc3339
from runner.batch.state import BatchState, Correction, Deviation, Phase, StepRun
from runner.batch.terms import Person
from runner.batch.timer import progress
from runner.procedure.sheet import PlannedStep
from runner.record.fold import Folded
from runner.record.toml_1 import Table, toml


def render_1(folded: Folded) -> bytes:
    """The record's bytes: UTF-8, TOML 1.0, keys in a fixed order."""
    state = folded.state
    opened = state.opened
    plan = opened.plan
    record: Table = {
        "format": 1,
        "batch": opened.batch,
        "mode": opened.mode,
        "outcome": str(state.phase),
        "shop": opened.shop,
        "notice": _notice(state),
        "parts": _present(
            part=opened.part,
            customer=opened.customer,
            basis=list(plan.basis),
            finish=plan.finish,
            pieces=plan.loads[0].pieces if plan.loads else plan.pieces,
            pieces_released=state.released_pieces,
            area_each_dm2=_round(plan.piece_dm2),
            strength_mpa=_round(plan.strength_mpa),
            closed_hollows=_said(plan.hollow),
            blind_holes=_said(plan.blind),
        ),
        "procedure": {
            "title": plan.title,
            "revision": plan.revision,
            "file": opened.procedure_file,
            "sha256": plan.procedure_sha256,
        },
        "journal": _present(
            sha256=folded.sha256,
            bytes=folded.size,
            lines=len(folded.lines),
            unsigned_lines=list(folded.unsigned),
            clock_steps_s=[_round(by) for by in state.clock_steps_s],
            tails_set_aside=state.tails,
        ),
        "opened": _signature(opened.by, state.opened_at, "opened the batch"),
    }
    if state.ended_by:
        word = "released the batch" if state.phase is Phase.RELEASED else "abandoned the batch"
        record["ended"] = _signature(state.ended_by, state.last, word)
        if state.abandoned_because is not None:
            record["ended"]["reason"] = state.abandoned_because
    if opened.findings:
        record["finding"] = [_finding(state, number) for number in range(1, len(opened.findings) + 1)]
    record["step"] = [_step(state, run) for run in state.runs]
    record["deviation"] = [_deviation(deviation) for deviation in state.deviations]
    record["note"] = [
        {"step": note.step, "at": rfc3339(note.moment.at_ms), "by": note.who, "text": note.text}
        for note in state.notes
    ]
    return toml(record).encode("utf-8")


def _notice(state: BatchState) -> str:
    if state.opened.mode == "practice":
        return "PRACTICE on a fast clock: no parts were plated, and this proves nothing about any."
    return "Times are UTC. Thickness is computed from current and time unless a gauge reading says otherwise."


def _present(**values: Any) -> Table:
    """Only what is there: a record says nothing of what does not apply."""
    return {name: value for name, value in values.items() if value is not None}


def _said(answer: bool | None) -> str | None:  # noqa: FBT001  # what booking was told, handed on
    """Yes or no; nothing where nobody said, as in every journal from before it was asked."""
    return None if answer is None else "yes" if answer else "no"


def _round(value: float | None) -> float | None:
    """Six significant figures are more than any meter of a plating shop; fixed, so that bytes are too."""
    return None if value is None else float(f"{value:.6g}")


def _seconds(value: float | None) -> float | None:
    return None if value is None else round(value, 1)


def _at(moment: Moment | None) -> str | None:
    return None if moment is None else rfc3339(moment.at_ms)


def _signature(by: Person, moment: Moment, meaning: str) -> Table:
    return {
        "name": by.name,
        "id": by.id,
        "role": by.role,
        "key": by.key,
        "at": rfc3339(moment.at_ms),
        "meaning": meaning,
    }


def _finding(state: BatchState, number: int) -> Table:
    """What the rules had against the route, and who took it on themselves."""
    finding = state.opened.findings[number - 1]
    table = _present(
        number=number,
        rule=finding.rule,
        severity=finding.severity,
        step=finding.step,
        message=finding.message,
    )
    for taken in state.overridden:
        if taken.number == number:
            table["overridden"] = _signature(taken.by, taken.moment, "overrode the finding")
            table["overridden"]["reason"] = taken.reason
    return table


def _step(state: BatchState, run: StepRun) -> Table:
    step = state.opened.plan.step(run.step)
    table = _present(
        number=step.number,
        name=step.name,
        does=step.does,
        attempt=run.attempt,
        by=run.who,
        tank=step.tank,
        solution=step.solution,
        rectifier=step.rectifier,
        planned=_planned(step),
        actual=_actual(state, step, run),
    )
    if run.answers:
        table["check"] = [
            _present(
                ask=step.checks[answer.check].ask,
                seen=answer.choice if answer.value is None else answer.value,
                unit=step.checks[answer.check].unit,
                at=rfc3339(answer.moment.at_ms),
                by=answer.who,
                corrected=_corrections(answer.was),
            )
            for answer in run.answers
        ]
    if run.readings:
        table["reading"] = [
            _present(
                at=_at(r.moment),
                amps=r.amps,
                ampere_hours=r.ah,
                in_tank_dm2=r.in_tank_dm2,
                corrected=_corrections(r.was),
            )
            for r in run.readings
        ]
    if run.pauses:
        table["pause"] = [
            _present(where=str(p.where), began=_at(p.began), ended=_at(p.ended)) for p in run.pauses
        ]
    if run.signatures:
        table["signature"] = [_signature(s.by, s.moment, f"signed as {s.meaning}") for s in run.signatures]
    return table


def _corrections(was: tuple[Correction, ...]) -> list[Table] | None:
    """What stood there before it was put right; nothing where it never was."""
    return [
        {"was": one.was, "reason": one.reason, "at": rfc3339(one.moment.at_ms), "by": one.who} for one in was
    ] or None


def _planned(step: PlannedStep) -> Table:
    return _present(
        current_a=_round(step.current_a),
        current_density_a_dm2=_round(step.current_density_a_dm2),
        polarity=step.polarity,
        dwell_s=_seconds(step.dwell_s),
        dwell_max_s=_seconds(step.dwell_max_s),
        charge_ah=_round(step.charge_ah),
        mean_thickness_um=_round(step.mean_thickness_um),
        min_thickness_um=_round(step.min_thickness_um),
        mean_expanded_u_um=_round(step.mean_expanded_u_um),
        next_within_s=_seconds(step.next_within_s),
        current_within_s=_seconds(step.current_within_s),
    )


def _actual(state: BatchState, step: PlannedStep, run: StepRun) -> Table:
    done = progress(step, run, state.last, state.opened.plan.overstay_share)
    return _present(
        entered=rfc3339(run.entered.at_ms),
        left=_at(run.left),
        elapsed_s=_seconds(done.elapsed_s),
        dwell_s=_seconds(done.counted_s),
        charge_ah=_round(done.charge_ah),
        mean_thickness_um=_round(done.mean_um),
        min_thickness_um=_round(done.min_um),
        out_of_tank_before_s=_seconds(run.out_s),
        current_off_before_s=_seconds(run.off_s),
        cautions_confirmed=_at(run.confirmed),
        alarm_acknowledged=_at(run.acknowledged),
        durations_from="wall clock" if done.by_wall_clock else "uptime",
    )


def _deviation(deviation: Deviation) -> Table:
    table = _present(
        number=deviation.number,
        step=deviation.step,
        what=deviation.what,
        detail=deviation.detail,
        at=rfc3339(deviation.raised.at_ms),
        by=deviation.who,
        reason=deviation.reason,
        disposition=deviation.disposition,
    )
    if deviation.settled_by and deviation.settled:
        table["settled"] = _signature(deviation.settled_by, deviation.settled, "settled the deviation")
        table["settled"]["after_s"] = _seconds(elapsed_s(deviation.raised, deviation.settled))
    return table
