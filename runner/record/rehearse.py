"""A rehearsal: a whole walk on a fast clock, without a screen, with a key that is forgotten after it.

Owns the answers that a rehearsal gives and the time it lets pass. It is the same code as production under
another clock; what makes it practice is its mode, its namespaces and its folder, and verification refuses
any of the three in the wrong place.
"""

from __future__ import annotations

import math
import secrets
from dataclasses import dataclass
from pathlib import Path

from runner.batch import intents as do
from runner.batch.events import FORMAT, BatchOpened
from runner.batch.moment import Moment, rfc3339
from runner.batch.questions import Action, Question, next_action
from runner.batch.state import BatchState
from runner.batch.terms import Person
from runner.procedure.sheet import Plan
from runner.record import allowed_signers, durable, seal
from runner.record.hold import Hold
from runner.record.journal import LineSigner
from runner.record.keys import UnlockedKey
from runner.record.layout import (
    JOURNAL,
    PRACTICE,
    PRACTICE_LINE_NAMESPACE,
    PRACTICE_RECORD_NAMESPACE,
    RECORD,
    SIGNATURE,
)

BY_HAND_S = 60.0
"""What hand work without a planned time takes in a rehearsal (invented; nothing is plated)."""

TRANSFER_S = 5.0
"""What a rehearsal takes from tank to tank, where the procedure allows that much (invented)."""

MOST_ACTIONS = 20_000
"""More than any route asks for; a walk that does not end is a fault of this program."""


@dataclass(frozen=True, slots=True)
class Rehearsal:
    """Where a rehearsal left its files, and who signed them."""

    record: Path
    signature: Path
    journal: Path
    allowed_signers: Path
    signer: str


def rehearse(
    logs: Path, plan: Plan, shop: str, procedure_file: str, procedure_text: str, start: Moment
) -> Rehearsal:
    """Walk a plan from its first step to its release.

    Args:
        logs: The shop's folder of logs.
        plan: What is walked.
        shop: The shop's title.
        procedure_file: The procedure's file, as given.
        procedure_text: What stands in it.
        start: When the walk begins; from there the clock runs as the plan asks.

    Raises:
        JournalError: The disk did not take a line.
        OSError: The folder or the record could not be written.
    """
    begun = begin(logs, plan, shop, procedure_file, procedure_text, start, "rehearsal without parts")
    hold, folder = begun.hold, begun.hold.folder
    try:
        _walk(hold, hold.state.last, begun.by, begun.key.signer(PRACTICE_LINE_NAMESPACE))
    finally:
        hold.close()
    seal.seal(folder, begun.key, PRACTICE_RECORD_NAMESPACE)
    return Rehearsal(
        record=folder / RECORD,
        signature=folder / SIGNATURE,
        journal=folder / JOURNAL,
        allowed_signers=folder / allowed_signers.FILE,
        signer=begun.by.id,
    )


@dataclass(frozen=True, slots=True)
class Begun:
    """A practice batch, opened: who walks it, with a key that is in memory alone."""

    hold: Hold
    by: Person
    key: UnlockedKey


def begin(
    logs: Path, plan: Plan, shop: str, procedure_file: str, procedure_text: str, start: Moment, part: str
) -> Begun:
    """Open a practice batch in a folder of its own, with its own list of signers beside it.

    Args:
        logs: The shop's folder of logs.
        plan: What is walked.
        shop: The shop's title.
        procedure_file: The procedure's file, as given.
        procedure_text: What stands in it.
        start: When the walk begins; the uptime of its clock counts from there.
        part: What the board calls it.

    Raises:
        JournalError: The disk did not take a line.
        OSError: The folder could not be written.
    """
    key = UnlockedKey.in_memory()
    by = practice_person(key)
    folder = _new_folder(logs / PRACTICE, start)
    first = BatchOpened(
        format=FORMAT,
        shop=shop,
        batch=folder.name,
        mode="practice",
        nonce=secrets.token_hex(16),
        procedure_file=procedure_file,
        procedure_text=procedure_text,
        plan=plan,
        part=part,
        customer="",
        by=by,
    )
    signer = key.signer(PRACTICE_LINE_NAMESPACE)
    hold = Hold.create(folder, first, start._replace(boot="rehearsal", up_ms=0), signer)
    signer_line = allowed_signers.AllowedSigner(by.id, key.public, allowed_signers.PRACTICE)
    signers = allowed_signers.text_of([signer_line])
    durable.write_new(folder / allowed_signers.FILE, signers.encode("ascii"))
    return Begun(hold, by, key)


def practice_person(key: UnlockedKey) -> Person:
    """Nobody who works in the shop: a name and a role for a key that is forgotten."""
    name = f"practice-{key.public.hex()[:8]}"
    return Person(name, "Practice, nobody's signature", "owner", key.fingerprint)


def _new_folder(practice: Path, start: Moment) -> Path:
    """The next free number; two rehearsals at once get two."""
    year = rfc3339(start.at_ms)[:4]
    practice.mkdir(parents=True, exist_ok=True)
    taken = [path.name.rpartition("-")[2] for path in practice.glob(f"{PRACTICE}-{year}-*")]
    number = max((int(last) for last in taken if last.isdecimal()), default=0)
    while True:
        number += 1
        folder = practice / f"{PRACTICE}-{year}-{number:04}"
        try:
            folder.mkdir()
        except FileExistsError:
            continue
        durable.fsync_folder(practice)
        return folder


def _walk(hold: Hold, now: Moment, by: Person, signer: LineSigner) -> None:
    """Do what the walk asks for, until it asks for nothing more."""
    for _ in range(MOST_ACTIONS):
        action = next_action(hold.state, now)
        if action.name == "none":
            return
        now = _later(now, takes_s(hold.state, action))
        if action.name != "wait":
            hold.do(intent_for(hold.state, action), do.Stamp(now, by, unlocked=True, fresh=True), signer)
    raise AssertionError("the rehearsal did not come to an end")


def _later(moment: Moment, seconds: float) -> Moment:
    ms = math.ceil(seconds * 1000)
    return moment._replace(at_ms=moment.at_ms + ms, up_ms=moment.up_ms + ms)


def takes_s(state: BatchState, action: Action) -> float:
    """How long the action takes on the fast clock."""
    if action.name == "wait":
        return action.wait_s or 0.0
    step = state.step
    if action.name == "lift" and step is not None and step.dwell_s is None:
        return BY_HAND_S
    if action.name == "enter" and step is not None and step.next_within_s is not None:
        return min(TRANSFER_S, step.next_within_s / 2)
    return 0.0


def intent_for(state: BatchState, action: Action) -> do.Intent:
    """What a rehearsal does where the walk asks for an action, waiting apart."""
    match action.name:
        case "answer":
            assert action.question is not None
            return _answer(action.question)
        case "confirm":
            return do.Confirm(action.step)
        case "lift":
            return do.Leave()
        case "enter":
            return do.Enter()
        case "sign":
            return do.Sign()
        case "explain":
            assert action.deviation is not None
            return do.Explain(action.deviation.number, "rehearsed without parts")
        case "settle":
            assert action.deviation is not None
            return do.Settle(action.deviation.number, "accepted as it is")
        case "release":
            return do.Release(state.opened.plan.loads[0].pieces)
        case _:
            raise AssertionError(f"a rehearsal never comes to {action.name}")


def _answer(question: Question) -> do.Intent:
    """The planned value or the middle of the window; of choices the first that is in order."""
    asked = question.asked
    if asked.choices:
        return do.AnswerChoice(question.step, question.check, (asked.accept or asked.choices)[0])
    return do.AnswerValue(question.step, question.check, asked.planned if asked.planned is not None else 0.0)
