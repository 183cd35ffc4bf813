"""A whole batch on paper, as plain texts in the order in which they are read.

Owns what the report says beside its steps: how the batch stands, what was found when it was proved, parts,
procedure, deviations, and how to prove all of it again.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from markupsafe import Markup

from runner.batch.moment import Moment, elapsed_s
from runner.batch.state import BatchState, Phase
from runner.procedure.sheet_words import said_of_parts
from runner.record.layout import JOURNAL, RECORD
from runner.record.report import bars
from runner.record.report.commands import commands
from runner.record.report.departures import DeviationView, FindingView, deviations, findings
from runner.record.report.figures import NONE, Figures, seconds, when
from runner.record.report.material import Material
from runner.record.report.people import Signed, names, signatures
from runner.record.report.steps import StepView, step_views
from runner.units import Kind

TRUST = {
    "pinned": "pinned: signers or owner were given from outside the records",
    "beside the records": (
        "beside the records: this shows damage and clumsy changes, not a forger who changed the list of "
        "signers and the shop's journal too; compare the owner's fingerprint with the one kept on paper"
    ),
}

MOST_RECORD_LINES = 20_000
"""Of a record that does not prove: more are told by their number."""

_PLAIN = re.compile(r"[0-9A-Za-z-]{1,40}")


@dataclass(frozen=True, slots=True)
class Headline:
    """How a batch stands, in large words; `bad` where it must not be taken for a good one."""

    words: str
    detail: str
    bad: bool


@dataclass(frozen=True, slots=True)
class View:
    """Everything that the report's template draws.

    Attributes:
        facts: Named facts on parts, procedure and record, by heading.
        record_text: The record's own text, where it must stand beside what the journal says.
        page_note: For the foot of each sheet: letters, digits and hyphens only, since it stands in the style.
    """

    batch: str
    shop: str
    practice: bool
    headlines: tuple[Headline, ...]
    verdict: str
    ok: bool
    trust: str
    findings: tuple[tuple[str, str], ...]
    notes_of_proof: tuple[str, ...]
    printed: str
    facts: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    hash_name: str
    hash: str
    qr: Markup | None
    rules: tuple[FindingView, ...]
    deviations: tuple[DeviationView, ...]
    steps: tuple[StepView, ...]
    notes: tuple[tuple[str, str, str, str], ...]
    signatures: tuple[Signed, ...]
    keys: tuple[tuple[str, str], ...]
    commands: tuple[tuple[str, str], ...]
    owner: str
    record_text: tuple[str, ...]
    page_note: str


def view(material: Material, printed: Moment) -> View:
    """The report of one batch.

    Args:
        material: The batch, read and proved.
        printed: When that was.
    """
    folded, verdict, proof = material.folded, material.verdict, material.proof
    state = folded.state if folded else None
    called = names(folded) if folded else {}
    signed = signatures(folded) if folded else ()
    figures = Figures(state.opened.plan.units if state else "SI")
    practice = state is not None and state.opened.mode == "practice"
    record_hash = material.record_sha256
    return View(
        batch=state.opened.batch if state else material.folder.name,
        shop=state.opened.shop if state else "",
        practice=practice,
        headlines=tuple(_headlines(material)),
        verdict=verdict.said,
        ok=verdict.ok,
        trust=TRUST[verdict.trust],
        findings=tuple((one.where, one.what) for one in verdict.findings),
        notes_of_proof=proof.notes,
        printed=when(printed),
        facts=_facts(material, state, figures) if state else (),
        hash_name=f"SHA-256 of {RECORD}" if record_hash else f"SHA-256 of {JOURNAL} so far",
        hash=record_hash or (folded.sha256 if folded else NONE),
        qr=bars.qr(record_hash) if record_hash else None,
        rules=tuple(findings(state)) if state else (),
        deviations=tuple(deviations(state, figures, called)) if state else (),
        steps=step_views(state, figures, called) if state else (),
        notes=tuple(
            (str(one.step), when(one.moment), called.get(one.who, one.who), one.text) for one in state.notes
        )
        if state
        else (),
        signatures=signed,
        keys=tuple(dict.fromkeys((one.id, one.key) for one in signed)),
        commands=tuple(commands(material, state)),
        owner=material.owner or "not told: no shop's journal lies with these records",
        record_text=_record_text(material),
        page_note=page_note(material),
    )


def _record_text(material: Material) -> tuple[str, ...]:
    """The record's own words where they are not, or may not be, those of the journal."""
    apart = any(found.where == RECORD for found in material.verdict.findings)
    if material.record is None or (material.stopped is None and not apart):
        return ()
    lines = material.record.decode("utf-8", "replace").splitlines()
    kept = lines[:MOST_RECORD_LINES]
    more = len(lines) - len(kept)
    return (*kept, f"({more} more lines)") if more else tuple(kept)


def page_note(material: Material) -> str:
    """What ties a loose sheet to its record."""
    name = material.folder.name
    told = f"batch {name}" if _PLAIN.fullmatch(name) else "batch"
    return f"{told}, record SHA-256 {material.record_sha256}" if material.record_sha256 else told


def _headlines(material: Material) -> list[Headline]:
    """What must be read before anything else."""
    said: list[Headline] = []
    state = material.folded.state if material.folded else None
    if state is not None and state.opened.mode == "practice":
        said.append(
            Headline(
                "PRACTICE",
                "On a fast clock: no parts were plated, and this proves nothing about any.",
                bad=True,
            )
        )
    if not material.verdict.ok:
        detail = (
            "What is printed here is what the files say. Do not rely on it before the findings are explained."
        )
        said.append(Headline("DOES NOT PROVE", detail, bad=True))
    if material.stopped:
        detail = f"The journal could be read up to where this stands, and no further: {material.stopped}."
        said.append(Headline("NOT READ TO ITS END", detail, bad=True))
    if state is None:
        return said
    if state.phase is Phase.RELEASED:
        words, good = _released(state, proves=material.verdict.ok)
        said.append(Headline(words, f"{_pieces(state)}, {when(state.last)} UTC", bad=not good))
    elif state.phase is Phase.ABANDONED:
        said.append(
            Headline("ABANDONED", f"Nothing was released. Reason: {state.abandoned_because}", bad=True)
        )
    else:
        now = f"{state.phase}, last entry {when(state.last)} UTC"
        said.append(
            Headline(
                "OPEN: NOT FINISHED", f"No record is sealed yet. At the time of printing: {now}.", bad=True
            )
        )
    if state.phase.ended and material.proof.status == "not sealed":
        said.append(
            Headline("NOT SEALED", "The batch ended, and its record is not there or not signed.", bad=True)
        )
    return said


def _released(state: BatchState, *, proves: bool) -> tuple[str, bool]:
    """The word that customers look for, never larger than what stands behind it."""
    if state.opened.mode == "practice":
        return "RELEASED IN PRACTICE ONLY", False
    return ("RELEASED", True) if proves else ("SAYS THAT IT WAS RELEASED", False)


def _pieces(state: BatchState) -> str:
    return f"{state.released_pieces} piece{'' if state.released_pieces == 1 else 's'}"


def _facts(
    material: Material, state: BatchState, figures: Figures
) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    opened, plan = state.opened, state.opened.plan
    folded = material.folded
    assert folded is not None
    bare_dm2 = plan.tips_dm2 + plan.thieves_dm2
    parts = (
        ("part", opened.part or NONE),
        ("customer's reference", opened.customer or NONE),
        ("basis metal", ", ".join(plan.basis) or NONE),
        ("designation asked for", plan.finish or NONE),
        ("pieces in this load", str(plan.loads[0].pieces if plan.loads else plan.pieces)),
        ("pieces released", NONE if state.released_pieces is None else str(state.released_pieces)),
        ("plated area of a piece", figures.of(plan.piece_dm2, Kind.AREA)),
        ("bare tips and thieves", figures.of(bare_dm2, Kind.AREA) if bare_dm2 else "none"),
        *said_of_parts(plan),
    )
    procedure = (
        ("title", plan.title),
        ("revision", plan.revision),
        ("file", opened.procedure_file),
        ("SHA-256", plan.procedure_sha256),
        ("steps", str(len(plan.steps))),
    )
    record = (
        ("opened", f"{when(state.opened_at)} by {opened.by.name}, {opened.by.role}"),
        ("last entry", when(state.last)),
        (
            "time from first to last",
            f"{seconds(elapsed_s(state.opened_at, state.last))}; dwells planned: {seconds(plan.total_s)}",
        ),
        ("journal", f"{len(folded.lines)} lines, {folded.size} bytes"),
        ("journal SHA-256", folded.sha256),
        ("record status", material.proof.status),
    )
    return (("Parts", parts), ("Procedure", procedure), ("Record", record))
