"""Who wrote each line, by what right, and do its times run on?

Owns the checks of a batch's lines that need neither its state nor its record; the list of rules stands in
`verify`.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from runner.batch.events import BatchOpened, BatchTaken, ClockStepped, DeviationRaised, TailSetAside
from runner.batch.moment import CLOCK_STEP_S, clock_step_s, same_boot
from runner.batch.terms import Person
from runner.plain_data import DataFault, from_data
from runner.record import sshsig
from runner.record.fold import Folded
from runner.record.ledger import needs_chargehand
from runner.record.lines import Line
from runner.record.reader import Finding, Proof
from runner.record.shop_state import HeldKey, ShopBatch, ShopState
from runner.shop.rights import may

_TAKING = frozenset({BatchOpened.kind, BatchTaken.kind})
_BEFORE_A_STEP = frozenset({TailSetAside.kind, DeviationRaised.kind})
"""What is written first where several lines are written at once; a step of the clock comes after them."""


def own_hand(proved: Proof) -> Iterator[Finding]:
    """Each line is in the name of who signed it, and one without a signature of who had the batch in hand."""
    in_hand: str | None = None
    for number, ((_, line), key) in enumerate(zip(proved.lines, proved.keys, strict=True), start=1):
        by = _person(line)
        if by is not None:
            in_hand = by.id if line.kind in _TAKING else in_hand
            if by.id != line.who:
                yield Finding(f"it names {by.id} and is signed by {line.who}", f"line {number}")
            if key is not None and by.key != sshsig.fingerprint(key):
                yield Finding("it names another key than the one that signed it", f"line {number}")
        if line.sig is None and in_hand is not None and line.who != in_hand:
            yield Finding(
                f"not signed, and in the name of {line.who or 'nobody'}, while {in_hand} had it in hand",
                f"line {number}",
            )


def as_known(shop: ShopState, batch: str, proved: Proof) -> Iterator[Finding]:
    """Whoever wrote a line is named as the shop's journal knew them then, and might walk a batch then."""
    walked = dict.fromkeys([line.who for _, line in proved.lines])
    held = {who: shop.held(batch, who) for who in walked}
    barred = {who for who, keys in held.items() if keys and not any(may(one.role, "walk") for one in keys)}
    for number, (_, line) in enumerate(proved.lines, start=1):
        if line.who in barred:
            yield Finding(
                f"{line.who} was {held[line.who][-1].role}, who may not walk a batch", f"line {number}"
            )
        by = _person(line)
        if by is not None and not any(_is(by, one) for one in shop.held(batch, by.id)):
            yield Finding(f"{by.id} is named otherwise than the shop's journal knew them", f"line {number}")


def as_approved(shop: ShopState, told: ShopBatch, opened: BatchOpened) -> Iterator[Finding]:
    """A batch is walked by the text that was approved when it was opened, where any was."""
    approved = shop.approved_at(opened.procedure_file, told.opened)
    if approved is not None and approved.sha256 != opened.plan.procedure_sha256:
        yield Finding(
            f"its procedure's text is not that of revision {approved.revision}, which was approved", "line 1"
        )


def as_signed_off(shop: ShopState, told: ShopBatch, folded: Folded) -> Iterator[Finding]:
    """Whoever was not signed off for the route had a chargehand sign at every hold point.

    When somebody took a batch in hand the shop's journal does not tell; they were in need of a chargehand
    where they were when it was opened, and were not signed off before it was closed.
    """
    opened = folded.state.opened
    route = (opened.procedure_file, opened.plan.revision)
    if needs_chargehand(shop, *route, opened.by, told.opened) != opened.supervised:
        what = "without" if not opened.supervised else "with"
        yield Finding(f"it is to be walked {what} a chargehand, against the ledger of its route", "line 1")
    end = shop.lines if told.closed is None else told.closed
    for line in folded.lines:
        by = _person(line) if line.kind == BatchTaken.kind and not line.data.get("supervised") else None
        if by is None or not needs_chargehand(shop, *route, by, told.opened):
            continue
        if needs_chargehand(shop, *route, by, end + 1):
            yield Finding(f"{by.id} was not signed off for its route", f"line {line.seq}")


def _is(by: Person, held: HeldKey) -> bool:
    return (by.key, by.name, by.role) == (sshsig.fingerprint(held.public), held.name, held.role)


def times_run_on(proved: Proof) -> Iterator[Finding]:
    """Within one boot the uptime runs on, and a step of the wall clock against it has its line.

    Two terminals may ask for the time in one order and write in the other, so a little is let pass.
    """
    lines = [line for _, line in proved.lines]
    for at, (last, now) in enumerate(pairwise([line.moment for line in lines]), start=1):
        if not same_boot(last, now):
            continue  # nothing tells then how the two times stand to each other
        if now.up_ms < last.up_ms - CLOCK_STEP_S * 1000:
            yield Finding("its uptime lies before that of the line before it", f"line {at + 1}")
        if abs(clock_step_s(last, now)) > CLOCK_STEP_S and not _told(lines, at):
            yield Finding("the wall clock was moved, and no line tells of it", f"line {at + 1}")


def _told(lines: list[Line], at: int) -> bool:
    """Whether the step of the clock is told by the lines that were written in one go from here."""
    for line in lines[at:]:
        if line.kind == ClockStepped.kind:
            return True
        if line.kind not in _BEFORE_A_STEP:
            return False
    return False


def _person(line: Line) -> Person | None:
    if "by" not in line.data:
        return None
    try:
        return from_data(Person, line.data["by"])
    except DataFault:
        return None  # the fold says what is wrong with it
