"""The certificate for the customer: of what it is given, of what it is refused, and what it says."""

from __future__ import annotations

import hashlib
import re
import shutil
from pathlib import Path

import pytest

from runner.record.report.certificate import refusal
from runner.record.report.material import gather
from runner.record.report.pages import certificate_html
from runner.record.shop_reading import read_shop
from support.journals import moment
from support.messy import BATCH, make_messy
from support.pages import Page
from support.records import record_of
from support.works import ABANDONED, DEVIATING, OPEN, SEALED, UNSIGNED, Works


def certificate(folder: Path) -> Page:
    """The certificate of a batch to which none is refused."""
    material = gather(folder)
    assert refusal(material) is None
    page = Page(certificate_html(material, moment()))
    page.harmless()
    return page


@pytest.mark.parametrize("name", [SEALED, DEVIATING, UNSIGNED])
def test_a_released_batch_that_proves_gets_one(sound: Works, name: str) -> None:
    """Part, reference, pieces, procedure and its revision, hash of the record, who released it and when."""
    folder = sound.batch(name)
    page, record = certificate(folder), record_of(folder)
    parts, ended = record["parts"], record["ended"]
    for told in (
        f"part {parts['part']}",
        f"customer's reference {parts['customer']}",
        f"pieces released {parts['pieces_released']}",
        f"{record['procedure']['title']}, revision {record['procedure']['revision']}",
        f"Signed in the record: {ended['name']} , {ended['role']}",
        f"{ended['at'][:19].replace('T', ' ')} UTC, meaning: {ended['meaning']}",
        hashlib.sha256((folder / "record.toml").read_bytes()).hexdigest(),
        read_shop(sound.logs).owner,
        "at the time of printing it proves; trust: beside the records",
    ):
        assert told in page.text


def test_what_was_plated_stands_with_what_was_asked_for(messy: Path) -> None:
    """Least asked for and planned, mean with its uncertainty, and the thinnest place."""
    page = certificate(messy)
    assert page.row("2", "bright nickel (Nickel)")[2:] == ["5 µm", "5 µm", "10 µm ± 0.2 µm", "5.01 µm"]
    assert "designation asked for Fe/Ni5b" in page.text


def test_a_thickness_is_said_to_be_computed_unless_a_gauge_read_it(messy: Path, sound: Works) -> None:
    """The gauge's reading stands with its question; where there is none, that is said."""
    page = certificate(messy)
    assert page.row("Thinnest of five") == ["Thinnest of five", "5 µm to 30 µm", "6.5 µm"]
    assert "computed from current and time; what a gauge read stands below" in page.text
    other = certificate(sound.batch(SEALED))
    assert "computed from current and time, and was not measured in this batch" in other.text
    assert "What a gauge read" not in other.text


def test_every_deviation_stands_with_its_disposition(messy: Path) -> None:
    """The customer learns what departed from the plan and what became of the parts."""
    record = record_of(messy)
    page = certificate(messy)
    for one in record["deviation"]:
        told = f"{one['number']}. step {one['step']}, {one['what']}: {one['detail']}; {one['disposition']}"
        assert told in page.text


def test_a_deviation_of_an_entry_that_was_corrected_says_to_what(messy: Path) -> None:
    """The ammeter was misread as 0.8 A and put right to 7.5 A; the temperature beside it stayed as it was."""
    page = certificate(messy)
    misread = next(row for row in page.text.split("outside its window: ") if row.startswith("0.8 A"))
    assert "; accepted as it is. The entry was corrected to 7.5 A (misread the dial)" in misread
    assert page.text.count("The entry was corrected") == 1


def test_a_rule_that_was_overridden_is_told_to_the_customer(messy: Path) -> None:
    """With who took it on and why; what only advised is not."""
    text = certificate(messy).text
    told = "against a rule of the trade, step 1: no rinse between dip and nickel; overridden by Cleo Invented"
    assert told in text
    assert "no panel is plated" not in text


def test_it_claims_no_standard(messy: Path) -> None:
    """It states what was asked for and what was done; no word says that a standard was met."""
    text = certificate(messy).text
    claims = r"complian|complies|certified to|conforms to|in accordance|meets|fulfil|guarantee"
    assert re.findall(claims, text, re.IGNORECASE) == []


@pytest.mark.parametrize(("name", "reason"), [(OPEN, "it is open"), (ABANDONED, "it was abandoned")])
def test_a_batch_that_was_not_released_gets_none(sound: Works, name: str, reason: str) -> None:
    """Whether it is under way or was given up."""
    assert reason in str(refusal(gather(sound.batch(name))))


def test_a_rehearsal_gets_none(sound: Works) -> None:
    """Nothing was plated."""
    assert refusal(gather(sound.rehearsal)) == "it is practice: no parts were plated"


def test_a_rehearsal_among_production_gets_none(works: Works) -> None:
    """Wherever it was put, and whatever it is called."""
    shutil.copytree(works.rehearsal, works.logs / "2026-0099")
    assert "practice" in str(refusal(gather(works.logs / "2026-0099")))


def test_a_batch_without_its_seal_gets_none(works: Works) -> None:
    """It ended, and nobody stands for the record."""
    (works.batch(SEALED) / "record.toml.sig").unlink()
    assert refusal(gather(works.batch(SEALED))) == "it is not sealed"


@pytest.mark.parametrize("file", ["journal.jsonl", "record.toml", "record.toml.sig"])
def test_a_changed_batch_gets_none(works: Works, file: str) -> None:
    """With the first thing that was found."""
    path = works.batch(SEALED) / file
    content = path.read_bytes()
    path.write_bytes(content[:150] + bytes([content[150] ^ 1]) + content[151:])
    assert refusal(gather(works.batch(SEALED)))


def test_us_units_stand_beside(tmp_path: Path) -> None:
    """NIST SP 811, appendix B: 5 µm are 0.197 mil."""
    page = certificate(make_messy(tmp_path / "shop", tmp_path / "keys", "US").batch(BATCH))
    assert page.row("2", "bright nickel (Nickel)")[2] == "5 µm (0.197 mil)"
    assert page.row("Thinnest of five")[2] == "6.5 µm (0.256 mil)"
