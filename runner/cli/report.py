"""``tankwalk report``: print a batch's record."""

from __future__ import annotations

import re
from pathlib import Path

import click

from runner.cli.common import FINE, NO, json_option, print_json, say
from runner.faults import fault
from runner.record import auditor_check, durable
from runner.record.layout import JOURNAL, RECORD
from runner.record.moment import SystemClock
from runner.record.report.certificate import refusal
from runner.record.report.material import Material, gather
from runner.record.report.pages import certificate_html, report_html
from runner.text import shown

_MARK = b'<meta name="generator" content="tankwalk report">'
_MARK_WITHIN = 600
CHECKER = Path(auditor_check.__file__)


@click.command(name="report")
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help="Else BATCH-report.html, here.")
@click.option(
    "--certificate", is_flag=True, help="One page for the customer, of a released batch that proves."
)
@click.option(
    "--checker", is_flag=True, help="Lay auditor_check.py beside it: a proof that needs no tankwalk."
)
@click.option(
    "--signers", type=click.Path(path_type=Path), help="A list of signers kept outside the records."
)
@click.option("--owner", help="Fingerprint of the owner's key, from paper: SHA256:…")
@json_option
def command(
    *,
    path: Path,
    out: Path | None,
    certificate: bool,
    checker: bool,
    signers: Path | None,
    owner: str | None,
    as_json: bool,
) -> int:
    """Print one batch as an HTML file that stands alone: plan against actual, deviations, signatures, proof.

    PATH is a batch's folder or a file in it. A batch that is open or does not prove is printed too, and the
    print says so in large words. Exits 1 where it does not prove, or where a certificate is refused.
    """
    material = gather(path, signers, owner)
    reason = refusal(material) if certificate else None
    file = None if reason else _target(material, out, certificate=certificate)
    if file is not None:
        now = SystemClock().now()
        html = certificate_html(material, now) if certificate else report_html(material, now)
        durable.write_over(file, html.encode("utf-8"))
        if checker:
            durable.write_over(file.parent / CHECKER.name, CHECKER.read_bytes())
    if as_json:
        print_json(_document(material, file, reason))
    else:
        _tell(material, file, reason)
    return NO if reason or not material.verdict.ok else FINE


def _target(material: Material, out: Path | None, *, certificate: bool) -> Path:
    """Where the print goes: over an earlier print, or to a new file outside every batch's folder."""
    name = re.sub(r"[^A-Za-z0-9_-]", "_", material.folder.name)
    file = out or Path(f"{name}-{'certificate' if certificate else 'report'}.html")
    if any((file.parent / taken).exists() for taken in (JOURNAL, RECORD)):
        raise fault("a batch's folder takes nothing but its record", "name a file elsewhere", str(file))
    if file.is_dir() or (file.exists() and not _earlier_print(file)):
        raise fault("something else lies there", "name another file", str(file))
    return file


def _earlier_print(file: Path) -> bool:
    with file.open("rb") as there:
        return _MARK in there.read(_MARK_WITHIN)


def _document(material: Material, file: Path | None, reason: str | None) -> dict[str, object]:
    verdict, folded = material.verdict, material.folded
    return {
        "file": None if file is None else str(file),
        "refused": reason,
        "batch": material.folder.name,
        "status": material.proof.status,
        "ok": verdict.ok,
        "trust": verdict.trust,
        "findings": [{"what": found.what, "where": found.where} for found in verdict.findings],
        "record_sha256": material.record_sha256,
        "journal_sha256": folded.sha256 if folded else None,
        "owner": material.owner,
        "auditor_check": str(CHECKER),
    }


def _tell(material: Material, file: Path | None, reason: str | None) -> None:
    if reason:
        say(f"NO  no certificate of {material.folder.name}: {reason}")
    else:
        say(f"printed: {shown(file, 4000)}")
    for found in material.verdict.findings:
        say(f"NO  {found.where}: {found.what}")
    say(f"{material.verdict.said}; trust: {material.verdict.trust}")
