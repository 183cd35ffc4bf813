"""``tankwalk verify``: prove batch records."""

from __future__ import annotations

import re
from pathlib import Path

import click

from runner.cli.bar import bar
from runner.cli.common import FINE, NO, json_option, print_json, say
from runner.faults import fault
from runner.record.verify import Verdict, verify
from runner.text import shown

_FINGERPRINT = re.compile(r"SHA256:[A-Za-z0-9+/]{43}")


@click.command(name="verify")
@click.argument("path", type=click.Path(path_type=Path))
@click.option(
    "--signers", type=click.Path(path_type=Path), help="A list of signers kept outside the records."
)
@click.option("--owner", help="Fingerprint of the owner's key, from paper: SHA256:…")
@json_option
def command(*, path: Path, signers: Path | None, owner: str | None, as_json: bool) -> int:
    """Prove a batch, or every batch of a shop: signatures, chain, order, record.

    PATH is a batch's folder or a file in it, or a shop's folder. Exits 0 where all proves, 1 where
    something does not. Without --signers or --owner the proof rests on files that lie beside the records:
    it shows damage and clumsy changes, not a forger who changed those too.
    """
    check_fingerprint(owner)
    with bar("proving") as told:
        verdict = verify(path, signers, owner, told)
    if as_json:
        print_json(
            {
                "ok": verdict.ok,
                "trust": verdict.trust,
                "findings": [{"what": found.what, "where": found.where} for found in verdict.findings],
                "batches": [
                    {"batch": proof.batch, "status": proof.status, "notes": list(proof.notes)}
                    for proof in verdict.batches
                ],
            }
        )
    else:
        _print(verdict)
    return FINE if verdict.ok else NO


def check_fingerprint(owner: str | None) -> None:
    """Refuse what is given as an owner's fingerprint and is none.

    Raises:
        InputFault: With what to do.
    """
    if owner is not None and not _FINGERPRINT.fullmatch(owner):
        raise fault(
            f"{shown(owner, 60)!r} is no fingerprint",
            "copy it from the paper: SHA256: and 43 signs",
            "--owner",
        )


def _print(verdict: Verdict) -> None:
    for proof in verdict.batches:
        say(f"{proof.batch}: {proof.status}")
        for note in proof.notes:
            say(f"  note: {note}")
    for found in verdict.findings:
        say(f"NO  {found.where}: {found.what}")
    say(f"{verdict.said}; trust: {verdict.trust}")
