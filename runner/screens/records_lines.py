"""The list of records as lines: which columns, how wide, how a row is written.

Must not know where rows come from.
"""

from __future__ import annotations

from datetime import datetime, tzinfo

from textual.content import Content

from runner.record.index_query import Listed
from runner.record.verify import Verdict
from runner.screens.background import Going
from runner.text import shown

COLUMNS = (("batch", 10), ("part", 23), ("outcome", 12), ("ended", 16), ("by", 11))
"""Each with its cells; with a cell of air they fill eighty."""

WIDE = (("customer", 14), ("procedure, revision", 24))
"""Columns more where there is room for them."""

MOST_SHOWN = 4
"""Most findings, and most notes, below the list."""


def _columns(width: int) -> list[tuple[str, int]]:
    columns, used = list(COLUMNS), sum(cells + 1 for _, cells in COLUMNS)
    for label, cells in WIDE:
        if used + cells + 1 < width:
            columns.append((label, cells))
            used += cells + 1
    return columns


def head_of(width: int) -> Content:
    """The columns' names."""
    return Content(shown("".join(f" {label:<{cells}}" for label, cells in _columns(width)), width))


def title_of(top: int, last: int, of: int, going: Going | None, width: int) -> Content:
    """The title, and at the right which of how many are shown, or how far the reading is."""
    right = f"{top + 1} to {last} of {of} " if of else ""
    if going is not None and not going.done:
        right = f"{going.words} "
    return Content.assemble((" Records", "bold"), " " * max(1, width - 8 - len(right)), right)


def row_of(one: Listed, width: int, zone: tzinfo | None, *, under_bar: bool) -> Content:
    """One batch; the row under the bar is in reverse, and marked."""
    marks = f" !{one.deviations}" if one.deviations else ""
    outcome = f"{one.outcome}{marks}" if one.status != "open" else f"open{marks}"
    ended = when(one.ended, zone) if one.ended else ""
    texts = [one.batch, one.part, outcome, ended, one.by, one.customer, f"{one.procedure}, {one.revision}"]
    if one.status == "unread":
        line = shown(f"{'▸' if under_bar else ' '}{one.batch:<10} {shown(one.outcome)}", width)
        return Content.styled(line.ljust(width), "reverse") if under_bar else Content.styled(line, "$warning")
    cells = [f" {shown(text, most):<{most}}" for text, (_, most) in zip(texts, _columns(width), strict=False)]
    line = ("▸" + "".join(cells)[1:]) if under_bar else "".join(cells)
    return Content.styled(shown(line, width).ljust(width), "reverse") if under_bar else Content(line)


def when(at: str, zone: tzinfo | None) -> str:
    """Day and wall time of a record's own time; its text as it is where it is none."""
    try:
        told = datetime.fromisoformat(at)
    except ValueError:
        return at
    return told.astimezone(zone).strftime("%Y-%m-%d %H:%M")


def proof_of(batch: str, verdict: Verdict) -> Content:
    """What came of proving one record."""
    lines = [Content.styled(f" {'✓' if verdict.ok else '!'} {batch} {verdict.said}", "bold")]
    lines += [
        Content.styled(f"   {shown(finding.where)}: {shown(finding.what)}", "$warning")
        for finding in verdict.findings[:MOST_SHOWN]
    ]
    notes = [note for proof in verdict.batches for note in proof.notes]
    lines += [Content.styled(f"   {shown(note)}", "$quiet") for note in notes[:MOST_SHOWN]]
    return Content("\n").join(lines)
