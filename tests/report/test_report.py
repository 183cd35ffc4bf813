"""What the report of a batch says, against the record that the batch was sealed with."""

from __future__ import annotations

import hashlib
import subprocess
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from runner.batch import intents as do
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.report.material import gather
from runner.record.report.view import view
from runner.record.shop_reading import read_shop
from support.batches import later
from support.journals import moment
from support.messy import BATCH, make_messy
from support.pages import Page
from support.works import ABANDONED, DEVIATING, ENDED, OPEN, SEALED, UNSIGNED, Works

Printed = Callable[[Path], Page]


def record_of(folder: Path) -> dict[str, Any]:
    """The sealed record, read by a TOML reader that knows nothing of ours."""
    return tomllib.loads((folder / "record.toml").read_text(encoding="utf-8"))


def day(at: str) -> str:
    """A time of the record as the report writes it: RFC 3339 allows a blank for the T, seconds suffice."""
    return at[:19].replace("T", " ")


class TestPlanAgainstActual:
    """The figures, by the batch whose own can be read off by hand."""

    def test_every_figure_stands_beside_its_plan(self, messy: Path, printed: Printed) -> None:
        """2 dm² at 4 A/dm² are 8 A; 12 min 47 s of it are 1.7 A·h; the thinnest place has half the mean."""
        page = printed(messy)
        assert page.row("current", "8 A, cathodic") == [
            "current",
            "8 A, cathodic",
            "7.5 A to 8 A, 2 readings",
        ]
        assert page.row("charge") == ["charge", "1.7 A·h", "1.71 A·h"]
        assert page.row("mean thickness") == ["mean thickness", "10 µm ± 0.2 µm", "10 µm ± 0.2 µm"]
        assert page.row("thinnest place")[1:] == ["5 µm; asked for 5 µm", "5.01 µm at 0.5 of the mean"]

    def test_an_uncertainty_is_that_share_of_what_came_out(self, messy: Path) -> None:
        """2 % of the ammeter at k = 2 is 2 % of the mean, as the shop stated it."""
        actual = record_of(messy)["step"][1]["actual"]["mean_thickness_um"]
        rows = view(gather(messy), moment()).steps[1].rows
        told = next(row.actual for row in rows if row.name == "mean thickness")
        assert told == f"{actual:.1f} µm ± {0.02 * actual:.1f} µm".replace(".0 ", " ")

    def test_a_dwell_that_was_too_long_says_so(self, messy: Path, printed: Printed) -> None:
        """600 s, where 20 s to 60 s were planned."""
        assert printed(messy).row("dwell", "20 s to 1 min")[2] == "10 min late"

    def test_a_pause_does_not_count_as_dwell_and_is_told(self, messy: Path, printed: Printed) -> None:
        """20 s with the current off in the middle."""
        page = printed(messy)
        assert page.row("dwell", "12 min 47 s, then by charge")[2] == "13 min 36 s of 13 min 56 s in all"
        assert "interrupted , in the tank, current off: 2026-01-01 10:15:07 to 10:15:27" in page.text

    def test_the_clock_between_tanks_stands_against_its_limit(self, messy: Path, printed: Printed) -> None:
        """100 s where the step before allows 45 s."""
        row = printed(messy).row("out of the tank before", "up to 45 s")
        assert row[2] == "1 min 40 s too long"

    def test_the_current_off_clock_stands_against_its_limit(
        self, printed: Printed, demo_rehearsal: Path
    ) -> None:
        """Chromium after nickel: two minutes are allowed, the rinses between included."""
        rows = [row for row in printed(demo_rehearsal).rows if row[0] == "current off before"]
        assert ["current off before", "up to 2 min"] in [row[:2] for row in rows]

    def test_checks_stand_with_what_was_seen(self, messy: Path, printed: Printed) -> None:
        """Never a tick: the value, what was asked for, when; and a word where it was not in order."""
        page = printed(messy)
        assert page.row("Nickel temperature") == [
            "Nickel temperature",
            "52 °C to 60 °C",
            "49.5 °C not in order",
            "10:12:57",
        ]
        assert page.row("Colour") == ["Colour", "even", "even", "10:26:49"]

    def test_a_corrected_reading_stands_with_what_it_was(self, messy: Path, printed: Printed) -> None:
        """Old figure, reason, who and when."""
        row = printed(messy).row("10:14:27")
        assert row[1] == "7.5 A"
        assert "was 0.8 A; corrected 2026-01-01 10:14:37 by Otto Invented: misread the dial" in row[2]

    @pytest.mark.parametrize("name", ENDED)
    def test_every_time_through_a_step_is_there(self, sound: Works, printed: Printed, name: str) -> None:
        """Name, when it was entered, every check and every reading of the record."""
        page = printed(sound.batch(name))
        for step in record_of(sound.batch(name))["step"]:
            assert f"{step['number']}. {step['name']}" in page.text
            assert day(step["actual"]["entered"]) in page.text
            for check in step.get("check", []):
                assert check["ask"] in page.text
            for reading in step.get("reading", []):
                assert page.row(reading["at"][11:19])[1] == f"{reading['amps']:.3g} A"

    def test_a_step_that_was_not_reached_says_so(self, sound: Works, printed: Printed) -> None:
        """An abandoned batch shows what of its plan was never done."""
        page = printed(sound.batch(ABANDONED))
        assert "3. Look: not walked" in page.text

    def test_a_step_walked_again_is_told_twice(self, works: Works, tmp_path: Path, printed: Printed) -> None:
        """Both times through it, the second named as such."""
        floor = Floor(works.folder, Keys(tmp_path.parent / "none", rounds=1))
        now = later(moment(), 100_000)
        assert floor.take(OPEN, now) is None
        floor.use(OPEN, works.people["otto"])
        floor.act(OPEN, do.Leave(), now)
        floor.act(OPEN, do.Redo(2, "dull patch"), later(now, 1))
        floor.act(OPEN, do.Enter(), later(now, 2))
        floor.close()
        page = printed(works.batch(OPEN))
        assert page.text.count("2. Nickel") == 2
        assert "(time through: 2)" in page.text


class TestStanding:
    """How the batch stands, in words that cannot be overlooked."""

    def test_a_released_batch_says_so(self, sound: Works, printed: Printed) -> None:
        """And that it proves, and on what that rests."""
        page = printed(sound.batch(SEALED))
        assert "RELEASED 2 pieces" in page.text
        assert "Verification at the time of printing: proves." in page.text
        assert "Trust: beside the records" in page.text
        assert "NOT PROVEN" not in page.text

    def test_signers_from_outside_are_told(self, sound: Works) -> None:
        """The trust word changes with what the proof rests on."""
        owner = read_shop(sound.logs).owner
        assert view(gather(sound.batch(SEALED), owner=owner), moment()).trust.startswith("pinned")

    @pytest.mark.parametrize(
        ("name", "words"),
        [(OPEN, "OPEN: NOT FINISHED"), (ABANDONED, "ABANDONED Nothing was released. Reason: the parts were")],
    )
    def test_one_that_was_not_released_says_so(
        self, sound: Works, printed: Printed, name: str, words: str
    ) -> None:
        """Open or abandoned, in large words and never as released."""
        page = printed(sound.batch(name))
        assert words in page.text
        assert "RELEASED" not in page.text

    def test_practice_is_marked_across_every_sheet(self, sound: Works, printed: Printed) -> None:
        """Fixed to the sheet, in words; and no rehearsal says in large words that it was released."""
        page = printed(sound.rehearsal)
        assert page.text.startswith("PRACTICE")
        assert ".across { position: fixed" in page.style
        assert "RELEASED IN PRACTICE ONLY" in page.text
        assert "no parts were plated" in page.text

    def test_a_changed_batch_is_printed_as_one_that_does_not_prove(
        self, works: Works, printed: Printed
    ) -> None:
        """With every finding of verification, and what the files say all the same."""
        journal = works.batch(SEALED) / "journal.jsonl"
        journal.write_bytes(journal.read_bytes().replace(b"stirrup irons", b"silver spoons", 1))
        material = gather(works.batch(SEALED))
        page = printed(works.batch(SEALED))
        assert "DOES NOT PROVE" in page.text
        assert "SAYS THAT IT WAS RELEASED" in page.text
        assert "NOT PROVEN" in page.text
        assert material.verdict.findings
        for found in material.verdict.findings:
            assert found.what in page.text
        assert "part silver spoons" in page.text
        assert 'part = "stirrup irons"' in page.text
        assert '[[step]] number = 1 name = "Dip"' in page.text

    def test_a_journal_that_breaks_off_is_printed_up_to_there(self, works: Works, printed: Printed) -> None:
        """The first steps stand, and where reading stopped."""
        journal = works.batch(SEALED) / "journal.jsonl"
        lines = journal.read_bytes().splitlines(keepends=True)
        journal.write_bytes(b"".join([*lines[:5], b"{}\n", *lines[6:]]))
        page = printed(works.batch(SEALED))
        assert "NOT READ TO ITS END" in page.text
        assert "line 6" in page.text
        assert "1. Dip" in page.text

    @pytest.mark.parametrize("content", [b"", b"{}\n", None, b"\xff\x00\n"])
    def test_a_journal_that_is_none_leaves_the_record_s_own_words(
        self, works: Works, printed: Printed, content: bytes | None
    ) -> None:
        """Nothing to fold: the record stands as it lies there, under the words that it does not prove."""
        journal = works.batch(SEALED) / "journal.jsonl"
        if content is None:
            journal.unlink()
        else:
            journal.write_bytes(content)
        page = printed(works.batch(SEALED))
        assert "DOES NOT PROVE" in page.text
        assert 'outcome = "released"' in page.text

    def test_a_batch_that_ended_without_its_seal_says_so(self, works: Works, printed: Printed) -> None:
        """And does not prove."""
        (works.batch(SEALED) / "record.toml.sig").unlink()
        assert "NOT SEALED" in printed(works.batch(SEALED)).text

    def test_lines_without_a_signature_are_told(self, sound: Works, printed: Printed) -> None:
        """No fault, but to be known."""
        assert "lines without a signature of their own" in printed(sound.batch(UNSIGNED)).text


class TestPeople:
    """Who signed what."""

    @pytest.mark.parametrize("name", ENDED)
    def test_every_signature_of_the_record_stands_with_name_role_time_and_meaning(
        self, sound: Works, printed: Printed, name: str
    ) -> None:
        """21 CFR 11.50: the printed name, the date and time, and the meaning, in every printout."""
        page, record = printed(sound.batch(name)), record_of(sound.batch(name))
        given = [record["opened"], record["ended"]]
        given += [one for step in record["step"] for one in step.get("signature", [])]
        given += [one["settled"] for one in record["deviation"]]
        rows = [row for row in page.rows if len(row) == 5 and row[4].isdigit()]
        for one in given:
            found = [
                r for r in rows if r[:3] == [f"{one['name']} ({one['id']})", one["role"], day(one["at"])]
            ]
            assert found, one
            assert found[0][3]
            assert one["key"] in page.text

    def test_a_deviation_stands_apart_with_all_that_became_of_it(self, messy: Path, printed: Printed) -> None:
        """What, detail, when, reason, disposition, and who settled it with role and time."""
        page = printed(messy)
        deviations = record_of(messy)["deviation"]
        assert len(deviations) == 5
        for one in deviations:
            assert one["detail"] in page.text
            settled = one["settled"]
            assert (
                f"reason {one['reason']} disposition {one['disposition']} settled by "
                f"{settled['name']}, {settled['role']}, {day(settled['at'])}"
            ) in page.text

    def test_one_that_nobody_settled_says_so(self, works: Works, tmp_path: Path, printed: Printed) -> None:
        """In capitals, where the disposition would stand."""
        floor = Floor(works.folder, Keys(tmp_path / "none", rounds=1))
        now = later(moment(), 100_000)
        assert floor.take(OPEN, now) is None
        floor.use(OPEN, works.people["otto"])
        floor.act(OPEN, do.Report("a drip over the nickel"), now)
        floor.close()
        page = printed(works.batch(OPEN))
        assert "reason NO REASON GIVEN disposition NOT SETTLED" in page.text

    def test_what_the_rules_had_against_the_route_stands_with_who_took_it_on(
        self, messy: Path, printed: Printed
    ) -> None:
        """By name, role, time and reason; what bars nothing is noted."""
        page = printed(messy)
        bars = page.row("1. step 1", "spoil")
        assert bars[2] == "no rinse between dip and nickel (no-rinse)"
        assert bars[3] == (
            "overridden by Cleo Invented, chargehand, 2026-01-01 10:01:00: the rinse is a spray over the dip"
        )
        assert page.row("2. the route", "advice")[3] == "noted"
        assert ["overrode finding 1 against the route"] in [row[3:4] for row in page.rows]

    def test_notes_stand_with_who_and_when(self, messy: Path, printed: Printed) -> None:
        """Each with the step that it was made in."""
        row = printed(messy).row("2", "2026-01-01 10:15:32")
        assert row[2:] == ["Otto Invented", "fuse replaced"]


class TestProof:
    """How whoever holds the paper proves it."""

    def test_hash_owner_and_procedure_stand_on_it(self, sound: Works, printed: Printed) -> None:
        """The record's own hash, the fingerprint to pin, the procedure's title, revision and hash."""
        folder = sound.batch(SEALED)
        page, record = printed(folder), record_of(folder)
        assert hashlib.sha256((folder / "record.toml").read_bytes()).hexdigest() in page.text
        assert read_shop(sound.logs).owner in page.text
        for key in ("title", "revision", "sha256", "file"):
            assert record["procedure"][key] in page.text

    def test_the_commands_on_it_work_as_they_stand(self, sound: Works, printed: Printed) -> None:
        """Stock OpenSSH and sha256sum say yes in the batch's folder, without this program."""
        for folder in (sound.batch(DEVIATING), sound.batch(ABANDONED), sound.rehearsal):
            page = printed(folder)
            signature, record, journal = page.blocks[:3]
            assert "Good" in run(signature, folder)
            assert run(record, folder).split()[0] in page.text
            assert run(journal, folder).split()[0] == record_of(folder)["journal"]["sha256"]

    def test_the_code_holds_sixty_four_characters(self, sound: Works, printed: Printed) -> None:
        """ISO/IEC 18004, from memory: 64 bytes at level M need version 5 (84 fit; 62 in 4), 37 modules."""
        views = {value for _, name, value in printed(sound.batch(SEALED)).attributes if name == "viewbox"}
        assert "0 0 45 45" in views

    def test_an_open_batch_has_no_record_to_compare_with(self, sound: Works, printed: Printed) -> None:
        """No code; the hash is the journal's, and says so."""
        page = printed(sound.batch(OPEN))
        assert "SHA-256 of journal.jsonl so far" in page.text
        assert "sha256sum" not in page.text


def run(command: str, folder: Path) -> str:
    """What a command of the page prints."""
    done = subprocess.run(
        ["sh", "-c", command], cwd=folder, capture_output=True, text=True, timeout=60, check=True
    )
    return done.stdout


class TestUnits:
    """SI, and US customary beside it where the shop works in that."""

    def test_a_shop_in_si_shows_no_other_units(self, messy: Path, printed: Printed) -> None:
        """Nothing in mils or in A/ft²."""
        text = printed(messy).text
        assert "mil" not in text.split()
        assert "A/ft²" not in text

    def test_a_shop_in_us_units_shows_both(self, tmp_path: Path, printed: Printed) -> None:
        """NIST SP 811, appendix B: 25.4 µm are a mil, 4 A/dm² are 37.2 A/ft², 52 °C are 125.6 °F."""
        page = printed(make_messy(tmp_path / "shop", tmp_path / "keys", "US").batch(BATCH))
        assert page.row("mean thickness")[1] == "10 µm (0.394 mil) ± 0.2 µm (0.0079 mil)"
        assert page.row("current density")[1].startswith("4 A/dm² (37.2 A/ft²)")
        assert page.row("Nickel temperature")[1] == "52 °C (126 °F) to 60 °C (140 °F)"


def test_times_are_utc_and_said_so(sound: Works, printed: Printed) -> None:
    """On the first sheet."""
    assert "All times are UTC." in printed(sound.batch(SEALED)).text


def test_the_same_batch_at_the_same_time_prints_the_same(sound: Works, printed: Printed) -> None:
    """Two prints can be compared byte for byte."""
    assert printed(sound.batch(SEALED)).html == printed(sound.batch(SEALED)).html
