"""A batch's record as lines of a screen.

Owns the layout. Every word is the report's own (`runner.record.report.view`), or an addendum's.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass

from textual.content import Content

from runner.record.addenda import Added
from runner.record.report.steps import StepView
from runner.record.report.view import View
from runner.text import shown

_CELLS = 76
_NAME, _PLANNED = 22, 24


@dataclass(frozen=True, slots=True)
class Section:
    """A part that a key goes to."""

    name: str
    lines: Content


def sections_of(record: View, added: tuple[Added, ...]) -> tuple[Section, ...]:
    """All of it, in the order in which it is read."""
    return (
        _section("standing", "", _standing(record)),
        _section("facts", "", _facts(record)),
        _section("deviations", "DEVIATIONS", _deviations(record)),
        _section("steps", "PLAN AGAINST ACTUAL", _steps(record)),
        _section("signatures", "SIGNATURES", _signatures(record)),
        _section("addenda", "ADDENDA", _addenda(added)),
    )


def _section(name: str, title: str, lines: Iterator[Content]) -> Section:
    head = [Content(""), Content.styled(title, "bold")] if title else []
    return Section(name, Content("\n").join([*head, *lines]))


def _wrapped(text: str, indent: int = 0, style: str = "") -> Content:
    first = " " * indent
    rows = textwrap.wrap(shown(text, 4000), _CELLS, initial_indent=first, subsequent_indent=first + "  ")
    return Content.styled("\n".join(rows), style)


def _standing(record: View) -> Iterator[Content]:
    for line in record.headlines:
        style = "$warning bold" if line.bad else "bold"
        yield _wrapped(f"{'!' if line.bad else '✓'} {line.words}", 0, style)
        yield _wrapped(line.detail, 2)
    yield _wrapped(
        f"{'✓' if record.ok else '! NO:'} {record.verdict}", 0, "" if record.ok else "$warning bold"
    )
    for where, what in record.findings:
        yield _wrapped(f"! {where}: {what}", 2, "$warning")
    for note in record.notes_of_proof:
        yield _wrapped(note, 2, "$quiet")
    yield _wrapped(f"trust {record.trust}", 0, "$quiet")
    yield _wrapped(f"{record.hash_name}: {record.hash}", 0, "$quiet")


def _facts(record: View) -> Iterator[Content]:
    for heading, facts in record.facts:
        yield Content("")
        yield Content.styled(heading.upper(), "bold")
        for name, said in facts:
            yield Content.assemble((f"{shown(name, 24):<25}", "$quiet"), shown(said))


def _deviations(record: View) -> Iterator[Content]:
    if not record.deviations and not record.rules:
        yield Content("none")
    for rule in record.rules:
        sign = "!" if rule.open else "·"
        yield _wrapped(f"{sign} {rule.severity} against {rule.against}; {rule.taken}")
    for one in record.deviations:
        yield _wrapped(f"! {one.number}, step {one.step}: {one.what}: {one.detail}", 0, "$warning")
        yield _wrapped(f"raised {one.raised}. Reason: {one.reason}", 2)
        yield _wrapped(f"came to: {one.disposition}; {one.settled}", 2)


def _steps(record: View) -> Iterator[Content]:
    head = f"  {'':<{_NAME}}{'planned':<{_PLANNED}}actual"
    yield Content.styled(head, "$quiet")
    for step in record.steps:
        yield from _step(step)


def _step(step: StepView) -> Iterator[Content]:
    attempt = f" ({step.attempt})" if step.attempt else ""
    yield Content.styled(shown(f"{step.number}  {step.name}, {step.place}{attempt}", _CELLS), "bold")
    if not step.walked:
        yield Content("   not walked")
        return
    yield Content.styled(shown(f"   {step.entered} to {step.left}, {step.by}", _CELLS), "$quiet")
    for row in step.rows:
        yield _against(row.name, row.planned, row.actual, row.off)
    for check in step.checks:
        by = f" ({check.by})" if check.by else ""
        yield _against(check.ask, check.asked_for, f"{check.seen} {check.at}{by}", check.off)
        for was in check.was:
            yield _wrapped(f"before it was put right: {was}", 5, "$warning")
    for read in step.readings:
        yield _against("meter", "", f"{read.meter} {read.at} {read.share}", read.off)
        for was in read.was:
            yield _wrapped(f"before it was put right: {was}", 5, "$warning")
    for text in (*(f"paused, {pause}" for pause in step.pauses), *step.remarks, *step.signatures):
        yield _wrapped(text, 3)
    if step.deviations:
        yield _wrapped(f"! deviation {', '.join(map(str, step.deviations))}", 3, "$warning")


def _against(name: str, planned: str, actual: str, off: str) -> Content:
    """A row of three columns, each as many rows high as its text needs."""
    widths = (_NAME, _PLANNED, _CELLS - _NAME - _PLANNED)
    actual = f"{actual}  ! {off}" if off else actual
    columns = [
        textwrap.wrap(shown(text), cells - 1) or [""]
        for text, cells in zip((name, planned, actual), widths, strict=True)
    ]
    height = max(map(len, columns))
    rows = []
    for at in range(height):
        cells = [
            (column[at] if at < len(column) else "").ljust(width)
            for column, width in zip(columns, widths, strict=True)
        ]
        rows.append(f"  {''.join(cells)}".rstrip())
    return Content.styled("\n".join(rows), "$warning" if off else "")


def _signatures(record: View) -> Iterator[Content]:
    if not record.signatures:
        yield Content("none")
    for one in record.signatures:
        yield _wrapped(f"{one.at}  {one.name}, {one.role}: {one.meaning}")
        yield Content.styled(f"  line {one.line}, key {shown(one.key, 60)}", "$quiet")


def _addenda(added: tuple[Added, ...]) -> Iterator[Content]:
    if not added:
        yield Content("none")
    for one in added:
        if one.problem:
            yield _wrapped(f"! {one.number}: {one.problem}", 0, "$warning")
            continue
        yield _wrapped(f"{one.number}  {one.text}")
        yield _wrapped(f"{one.at}  {one.name}, {one.role}: {one.meaning}", 2, "$quiet")
