"""What a batch's folder comes to in the index.

Owns the way from a folded journal to rows. A journal that cannot be read or folded has a row that says so:
a batch must not fall out of the list because it is damaged. Must not know SQL, nor prove anything.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import msgspec

from runner.batch import events as ev
from runner.batch.clocks import current_off, out_of_tank
from runner.batch.moment import rfc3339
from runner.batch.state import BatchState, Phase
from runner.batch.timer import progress
from runner.record import durable
from runner.record.fold import Folded, FoldFault, fold
from runner.record.index_query import Listed
from runner.record.layout import JOURNAL, RECORD, SIGNATURE
from runner.record.reading import read_journal
from runner.record.torn import Broken, split
from runner.record.verify_batch import LONGEST_RECORD

Row = tuple[str | int | None, ...]

_LARGEST = 2**63 - 1  # the largest whole number that a column holds; a forged plan may name a larger one

_MEANINGS = {
    ev.BatchOpened.kind: "opened the batch",
    ev.BatchTaken.kind: "took the batch in hand",
    ev.StepSigned.kind: "signed a step",
    ev.StepRedone.kind: "sent the batch back",
    ev.DeviationSettled.kind: "settled a deviation",
    ev.BatchReleased.kind: "released the batch",
    ev.BatchAbandoned.kind: "abandoned the batch",
}


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of one batch, in the order of the tables' columns."""

    batch: Row
    runs: tuple[Row, ...] = ()
    signatures: tuple[Row, ...] = ()
    people: tuple[Row, ...] = ()
    deviations: tuple[Row, ...] = ()


def mark_of(folder: Path) -> str | None:
    """Size and time of change of a batch's files; None where the folder holds neither journal nor record."""
    # Texts, not paths: with thousands of batches, making paths takes longer than asking the disk.
    marks = [_mark(f"{folder}{os.sep}{name}") for name in (JOURNAL, RECORD, SIGNATURE)]
    return None if not any(marks) else " ".join(mark or "-" for mark in marks)


def _mark(path: str) -> str:
    try:
        stat = os.lstat(path)
    except OSError:
        return ""
    return f"{stat.st_size}:{stat.st_mtime_ns}"


def rows_of(folder: Path, mark: str) -> Rows:
    """Read a batch's folder.

    Args:
        folder: Of a production batch.
        mark: What `mark_of` said before this reading, so that a change meanwhile shows at the next one.
    """
    try:
        raw = read_journal(folder)
        _, length = split(raw)  # a line that another terminal is writing just now is not there yet
        folded = fold(raw[:length])
    except OSError as error:
        return _unread(folder, mark, f"its journal cannot be read: {error.strerror or error}")
    except (Broken, FoldFault) as fault:
        return _unread(folder, mark, f"its journal does not prove: {fault}")
    if folded.state.opened.mode != "production":
        return _unread(folder, mark, "a rehearsal: it does not count in production")
    runs, signatures = tuple(_runs(folder.name, folded.state)), tuple(_signatures(folder.name, folded))
    return Rows(
        _batch(mark, _listed(folder, folded.state)),
        runs,
        signatures,
        tuple(_people(folder.name, runs, signatures)),
        tuple(_deviations(folder.name, folded.state)),
    )


def _unread(folder: Path, mark: str, why: str) -> Rows:
    return Rows(_batch(mark, nothing_read(folder.name, why)._replace(record_sha256=_record_hash(folder))))


def nothing_read(batch: str, why: str) -> Listed:
    """The row in the list of a batch of which nothing is known but why."""
    return Listed(batch, "", "", "", why, "", "", "", "", "", "", "unread", "", 0, None, 0, 0, "")


def _batch(mark: str, one: Listed) -> Row:
    return (
        one.batch,
        mark,
        one.part.casefold(),
        one.customer.casefold(),
        one.procedure.casefold(),
        one.revision,
        one.opened,
        one.ended,
        one.status,
        one.due,
        msgspec.json.encode(one).decode("utf-8"),
    )


def _listed(folder: Path, state: BatchState) -> Listed:
    opened, plan, ended = state.opened, state.opened.plan, state.phase.ended
    sealed = all(os.path.lexists(folder / name) for name in (RECORD, SIGNATURE))
    return Listed(
        batch=folder.name,
        part=opened.part,
        customer=opened.customer,
        procedure=plan.title,
        outcome=str(state.phase),
        ended=rfc3339(state.last.at_ms) if ended else "",
        by=state.ended_by.name if state.ended_by else "",
        revision=plan.revision,
        procedure_sha256=plan.procedure_sha256,
        opened=rfc3339(state.opened_at.at_ms),
        opened_by=opened.by.name,
        status=("sealed" if sealed else "not sealed") if ended else "open",
        due="" if ended else _due(state),
        pieces=_whole(plan.pieces),
        pieces_released=None if state.released_pieces is None else _whole(state.released_pieces),
        deviations=len(state.deviations),
        unsettled=sum(deviation.disposition is None for deviation in state.deviations),
        record_sha256=_record_hash(folder),
    )


def _due(state: BatchState) -> str:
    """By when the next thing should be done; where nothing tells, when the walk should end."""
    due_ms = [
        clock.since.at_ms + clock.limit_s * 1000
        for clock in (out_of_tank(state), current_off(state))
        if clock is not None and clock.limit_s is not None
    ]
    run, step, plan = state.run, state.step, state.opened.plan
    try:
        if state.phase is Phase.IN_STEP and run is not None and step is not None:
            must_s = progress(step, run, state.last, plan.overstay_share).must_s
            due_ms += [] if must_s is None else [state.last.at_ms + must_s * 1000]
        return rfc3339(round(min(due_ms, default=state.opened_at.at_ms + plan.total_s * 1000)))
    except (ArithmeticError, ValueError):  # a plan forged by hand may hold figures that no sum can take
        return ""


def _runs(batch: str, state: BatchState) -> Iterator[Row]:
    for number, run in enumerate(state.runs, start=1):
        step = state.opened.plan.step(run.step)
        left = rfc3339(run.left.at_ms) if run.left else ""
        yield (
            batch,
            number,
            _whole(run.step),
            step.name,
            step.tank or "",
            step.solution or "",
            rfc3339(run.entered.at_ms),
            left,
            run.who,
        )


def _signatures(batch: str, folded: Folded) -> Iterator[Row]:
    """Every line that names a person and what they did; of whoever signed only facts, the first such line."""
    named: dict[str, tuple[str, str]] = {}
    for line in folded.lines:
        by = line.data.get("by")
        if isinstance(by, dict):
            named[line.who] = (by["name"], by["role"])
        elif line.sig is None or (line.who in named and line.kind not in _MEANINGS):
            continue
        name, role = named.setdefault(line.who, ("", ""))
        at, meaning = rfc3339(line.moment.at_ms), _MEANINGS.get(line.kind, "signed a fact")
        step = line.data.get("step")
        if line.kind == ev.DeviationSettled.kind:
            step = folded.state.deviations[line.data["number"] - 1].step
        yield (
            batch,
            line.seq,
            line.who,
            name,
            name.casefold(),
            role,
            meaning,
            at,
            None if step is None else _whole(step),
        )


def _people(batch: str, runs: tuple[Row, ...], signatures: tuple[Row, ...]) -> Iterator[Row]:
    """Each person of a batch once, by every name that they have there; who only walked has none."""
    named = {(person, name_key) for _, _, person, _, name_key, *_ in signatures}
    walked = {(who, "") for *_, who in runs}
    for person, name_key in sorted(named | walked, key=str):
        yield batch, person, name_key


def _deviations(batch: str, state: BatchState) -> Iterator[Row]:
    for one in state.deviations:
        reason = one.reason or ""
        yield (
            batch,
            _whole(one.number),
            _whole(one.step),
            one.what,
            one.detail,
            reason,
            one.disposition or "",
            rfc3339(one.raised.at_ms),
            one.who,
            f"{one.what}\n{one.detail}\n{reason}".casefold(),
        )


def _whole(number: int) -> int:
    return max(-_LARGEST, min(_LARGEST, number))


def _record_hash(folder: Path) -> str:
    try:
        return hashlib.sha256(durable.read_whole(folder / RECORD, LONGEST_RECORD)).hexdigest()
    except OSError:
        return ""
