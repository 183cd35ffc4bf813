"""Folding a batch's journal: its bytes come to one state, or to the line that is wrong.

Owns the reading of lines as events, in order, through the same table that decided them. Must not look at
signatures or the disk; verification does the one, the journal the other.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from runner.batch.events import BatchOpened
from runner.batch.evolve import evolve, opened
from runner.batch.kinds import read_event
from runner.batch.state import BatchState
from runner.batch.transitions import objection, opening_objection
from runner.plain_data import DataFault
from runner.record.lines import GENESIS, Line, LineFault, line_hash, parse, raw_lines


class FoldFault(Exception):
    """A journal that does not fold.

    Attributes:
        line: The line that is wrong, counted from 1.
        reason: What is wrong with it, without a full stop.
    """

    def __init__(self, line: int, reason: str) -> None:
        super().__init__(f"line {line}: {reason}")
        self.line = line
        self.reason = reason


@dataclass(frozen=True, slots=True)
class Folded:
    """A journal folded.

    Attributes:
        state: What its lines come to.
        lines: The lines themselves.
        sha256: Of all its bytes.
        size: How many bytes.
        unsigned: Numbers of lines without a signature of their own.
    """

    state: BatchState
    lines: tuple[Line, ...]
    sha256: str
    size: int

    @property
    def unsigned(self) -> tuple[int, ...]:
        """Numbers of the lines that carry no signature of their own."""
        return tuple(line.seq for line in self.lines if line.sig is None)


def fold(raw: bytes) -> Folded:
    """Fold a journal from its bytes.

    Raises:
        FoldFault: The first line that is not a line, not in the chain, or not possible where it stands.
    """
    lines: list[Line] = []
    prev = GENESIS
    whole, rest = raw_lines(raw)
    for number, piece in enumerate([*whole, rest] if rest else whole, start=1):
        lines.append(_line(number, piece, prev))
        prev = line_hash(piece)
    return fold_lines(raw, lines)


def fold_lines(raw: bytes, lines: Sequence[Line]) -> Folded:
    """Fold lines that have been read and found to follow from each other.

    Args:
        raw: The journal's bytes, which the record names.
        lines: All of them, in order.

    Raises:
        FoldFault: The first line that is not possible where it stands.
    """
    state: BatchState | None = None
    for line in lines:
        state = step(state, line)
    if state is None:
        raise FoldFault(1, "the journal is empty")
    return Folded(state, tuple(lines), hashlib.sha256(raw).hexdigest(), len(raw))


def _line(number: int, piece: bytes, prev: str) -> Line:
    try:
        line = parse(piece)
    except LineFault as fault:
        raise FoldFault(number, fault.reason) from fault
    if line.seq != number:
        raise FoldFault(number, f"it counts itself {line.seq}")
    if line.prev != prev:
        raise FoldFault(number, "it does not follow the line before it: its prev is another hash")
    return line


def step(state: BatchState | None, line: Line) -> BatchState:
    """The state after one more line.

    Raises:
        FoldFault: The line's data is not its kind's, or it cannot happen here.
    """
    try:
        event = read_event(line.kind, line.data)
    except DataFault as fault:
        raise FoldFault(line.seq, str(fault)) from fault
    if state is None:
        if reason := opening_objection(event):
            raise FoldFault(line.seq, reason)
        assert isinstance(event, BatchOpened)
        return opened(event, line.moment)
    try:
        if reason := objection(state, event):
            raise FoldFault(line.seq, reason)
        return evolve(state, event, line.moment, line.who)
    except ArithmeticError as error:  # a plan forged by hand may hold figures that no sum can take
        raise FoldFault(line.seq, f"the plan's figures cannot be reckoned with: {error}") from error
