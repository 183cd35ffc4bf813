"""What to type to prove a printed record again, here or where this program has never been."""

from __future__ import annotations

import shlex

from runner.batch.state import BatchState
from runner.record.layout import (
    JOURNAL,
    PRACTICE_RECORD_NAMESPACE,
    RECORD,
    RECORD_NAMESPACE,
    SIGNATURE,
)
from runner.record.report.material import Material


def commands(material: Material, state: BatchState | None) -> list[tuple[str, str]]:
    """What to type to prove it again; whatever comes from a file is quoted for a shell."""
    practice = state is not None and state.opened.mode == "practice"
    namespace = PRACTICE_RECORD_NAMESPACE if practice else RECORD_NAMESPACE
    signers = "allowed_signers" if practice else "../allowed_signers"
    told: list[tuple[str, str]] = []
    if state is not None and state.ended_by is not None:
        who = shlex.quote(state.ended_by.id)
        told += [
            (
                "The signature, with stock OpenSSH; a list of signers kept elsewhere is better than this:",
                f"ssh-keygen -Y verify -f {signers} -I {who} -n {namespace} -s {SIGNATURE} < {RECORD}",
            ),
            (
                "The record is the one printed here; compare with the hash above, or scan the code:",
                f"sha256sum {RECORD}",
            ),
            (
                f"The journal is the one that the record names, under [journal] in {RECORD}:",
                f"sha256sum {JOURNAL}",
            ),
        ]
    owner = f" --owner {shlex.quote(material.owner)}" if material.owner and not practice else ""
    told += [
        (
            "Everything, with this program: lines, chain, order of events, record, shop's journal:",
            f"tankwalk verify .{owner}",
        ),
        (
            "Without this program: one short file to read and run; tankwalk report --checker copies it out:",
            f"python auditor_check.py . --signers {signers}",
        ),
    ]
    return told
