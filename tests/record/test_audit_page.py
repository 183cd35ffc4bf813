"""The pages for auditors: every test that they name is there, and every line that is asked for."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from runner import record
from support.named_tests import ROOT, missing

AUDIT, FORGERY, BY_HAND = (
    Path(record.__file__).with_name(name) for name in ("AUDIT.md", "FORGERY.md", "BY_HAND.md")
)

SUBPART_B = (
    "11.10(a) 11.10(b) 11.10(c) 11.10(d) 11.10(e) 11.10(f) 11.10(g) 11.10(h) 11.10(i) 11.10(j) 11.10(k)"
)
SUBPART_B_REST = "11.30 11.50(a) 11.50(b) 11.70"
SUBPART_C = "11.100(a) 11.100(b) 11.100(c) 11.200(a)(1) 11.200(a)(2)-(3) 11.200(b)"
SUBPART_C_REST = "11.300(a) 11.300(b) 11.300(c) 11.300(d) 11.300(e)"
LINES: dict[str, tuple[str, ...]] = {
    "21 CFR Part 11": (*f"{SUBPART_B} {SUBPART_B_REST} {SUBPART_C} {SUBPART_C_REST}".split(),),
    "EU GMP Annex 11": tuple(map(str, range(1, 18))),
    "ALCOA+": (
        *("Attributable", "Legible", "Contemporaneous", "Original", "Accurate"),
        *("Complete", "Consistent", "Enduring", "Available", "Traceable"),
    ),
    "AIAG CQI-11": (
        *("identity", "steps in order", "parameters", "actual values", "equipment", "area and current"),
        *("immersion and transfer", "water break", "thickness and tests", "embrittlement relief"),
        *("deviations", "document control", "corrections", "retention", "release and certificate"),
        *("job audit", "segregation", "calibration", "solution analysis", "additions and dumps"),
        *("contaminants", "water quality", "training", "periodic tests", "maintenance"),
        *("self-assessment", "plating specialist"),
    ),
}
"""Sections of the Code of Federal Regulations as printed in 62 FR 13464, partly from memory;
clauses of Annex 11 of 2011; MHRA's guidance of 2018; items of both plating assessments from memory."""

ATTACKS = (
    *("change a line", "delete, insert, swap or replay lines", "splice lines from another batch"),
    *("splice lines from another shop", "chain anew after a change", "cut the tail"),
    *("put a sealed batch back to open", "remove a batch", "use a number again"),
    *("forge `allowed_signers`, a `*` principal too", "shorten `allowed_signers`"),
    *("swap record and journal between batches", "swap signatures", "append after the end"),
    *("downgrade a format", "back-date a key, or a line by one", "use a key that ended or was revoked"),
    *("copy practice to production", "duplicate keys, NaN, odd JSON", "path tricks in names"),
    *("symlinks, pipes, folders in a file's place", "everything put back as it was at an earlier day"),
    *("HTML in a text", "formulas in a table", "escapes for a terminal"),
)
"""What a forger's toolkit must hold."""


def rows(page: Path) -> dict[str, list[list[str]]]:
    """The cells of each table's rows, by the heading above it."""
    tables: dict[str, list[list[str]]] = {}
    heading = ""
    for line in page.read_text(encoding="utf-8").splitlines():
        if line.startswith("## "):
            heading = line[3:]
        elif line.startswith("| ") and not line.startswith("| ---"):
            tables.setdefault(heading, []).append([cell.strip() for cell in line.strip("|").split("|")])
    return {heading: table[1:] for heading, table in tables.items()}


@pytest.mark.parametrize("page", [AUDIT, FORGERY, BY_HAND], ids=lambda page: page.name)
def test_every_test_that_is_named_exists(page: Path) -> None:
    """By its file, and by its name in it."""
    assert missing(page.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("publication", LINES)
def test_every_line_of_a_publication_is_answered(publication: str) -> None:
    """Each once: by a test, or by the reason why it is out of scope."""
    (table,) = (table for heading, table in rows(AUDIT).items() if heading.startswith(publication))
    assert tuple(row[0] for row in table) == LINES[publication]
    for line, asks, here, tests in (
        row if len(row) == 4 else [*row, ""]  # the columns of these tables
        for row in table
    ):
        assert asks, line
        assert here, line
        assert tests.startswith("`tests/") or here.startswith("Out of scope"), line


def test_every_attack_of_the_toolkit_is_listed() -> None:
    """With what finds it, or why nothing can, and the test that tries it."""
    tables = rows(FORGERY)
    listed = [row for table in tables.values() for row in table]
    assert set(ATTACKS) <= {row[0] for row in listed}
    for row in listed:
        assert len(row) == 3, row[0]
        assert row[2].startswith("`tests/"), row[0]
    assert "What cannot be found" in tables


def test_the_pages_claim_no_conformity_of_ours() -> None:
    """Whether a shop meets a rule of law is not for its program to say."""
    for page in (AUDIT, FORGERY, BY_HAND, ROOT / "README.md", ROOT / "DEVELOPERS.md"):
        assert not re.search(
            r"complian|validated by|certified", page.read_text(encoding="utf-8"), re.IGNORECASE
        ), page


def test_a_test_that_is_not_there_would_be_named() -> None:
    """The check itself: a file, and a name, that do not exist."""
    good = "`tests/record/test_audit_page.py::test_every_test_that_is_named_exists`"
    page = f"{good} `tests/record/test_none.py` `tests/record/test_audit_page.py::test_none`\n"
    assert missing(page) == ["tests/record/test_none.py", "tests/record/test_audit_page.py::test_none"]


def test_the_pages_are_found_from_the_first_page() -> None:
    """A stranger who reads README or DEVELOPERS comes upon them."""
    for name in ("README.md", "DEVELOPERS.md"):
        text = (ROOT / name).read_text(encoding="utf-8")
        for page in (AUDIT, FORGERY, BY_HAND):
            assert f"runner/record/{page.name}" in text, (name, page.name)
