"""The page about people at the line: every test that it names is there, and every line is answered."""

from __future__ import annotations

from math import radians, tan
from pathlib import Path

import pytest

from runner import screens
from support.named_tests import ROOT, missing

PAGE = Path(screens.__file__).with_name("HUMAN.md")

PUBLICATIONS = (
    *("NASA CR-177549", "NASA CR-177605", "ISA-18.2-2016", "IEC 62682:2022", "IEC 60073:2002", "ISO 3864-1"),
    *("Web Content Accessibility Guidelines 2.2", "ISO 9241-303:2011"),
)


def text() -> str:
    """The page."""
    return PAGE.read_text(encoding="utf-8")


def rows() -> list[list[str]]:
    """The cells of every row of every table, heads left out."""
    lines = text().splitlines()
    heads = {number - 1 for number, line in enumerate(lines) if line.startswith("| ---")}
    return [
        [cell.strip() for cell in line.strip("|").split("|")]
        for number, line in enumerate(lines)
        if line.startswith("| ") and not line.startswith("| ---") and number not in heads
    ]


def test_every_test_that_is_named_exists() -> None:
    """By its file, and by its name in it; a name that does not exist would be told."""
    assert missing(text()) == []
    assert missing("`tests/screens/test_human_page.py::test_none`") != []


def test_every_line_says_how_it_is_met_and_what_shows_it() -> None:
    """Three cells, none of them empty, the last with a test."""
    assert rows()
    for row in rows():
        assert len(row) == 3, row
        assert all(row), row
        assert "`tests/" in row[2], row


@pytest.mark.parametrize("publication", PUBLICATIONS)
def test_every_publication_says_how_it_is_known(publication: str) -> None:
    """Read there, read in a secondary page, or from memory: in the paragraph that names it first."""
    paragraph = next(part for part in text().split("\n\n") if publication in " ".join(part.split()))
    assert "from memory" in " ".join(paragraph.split())


@pytest.mark.parametrize(("minutes", "height_mm"), [(16, "9.3"), (20, "11.6"), (22, "12.8")])
def test_the_heights_of_letters_are_those_of_their_angles(minutes: int, height_mm: str) -> None:
    """Plane geometry: twice the distance times the tangent of half the angle."""
    assert f"{2 * 2000 * tan(radians(minutes / 60) / 2):.1f}" == height_mm
    assert height_mm in text()


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_the_page_is_found_from_the_first_page(name: str) -> None:
    """A stranger who reads README or DEVELOPERS comes upon it."""
    assert "runner/screens/HUMAN.md" in (ROOT / name).read_text(encoding="utf-8")
