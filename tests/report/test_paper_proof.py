"""How whoever holds the printed report proves it."""

from __future__ import annotations

import hashlib
import subprocess
from pathlib import Path

from runner.record.shop_reading import read_shop
from support.pages import Printed
from support.records import record_of
from support.works import ABANDONED, DEVIATING, OPEN, SEALED, Works


def run(command: str, folder: Path) -> str:
    """What a command of the page prints."""
    done = subprocess.run(
        ["sh", "-c", command], cwd=folder, capture_output=True, text=True, timeout=60, check=True
    )
    return done.stdout


def test_hash_owner_and_procedure_stand_on_it(sound: Works, printed: Printed) -> None:
    """The record's own hash, the fingerprint to pin, the procedure's title, revision and hash."""
    folder = sound.batch(SEALED)
    page, record = printed(folder), record_of(folder)
    assert hashlib.sha256((folder / "record.toml").read_bytes()).hexdigest() in page.text
    assert read_shop(sound.logs).owner in page.text
    for key in ("title", "revision", "sha256", "file"):
        assert record["procedure"][key] in page.text


def test_the_commands_on_it_work_as_they_stand(sound: Works, printed: Printed) -> None:
    """Stock OpenSSH and sha256sum say yes in the batch's folder, without this program."""
    for folder in (sound.batch(DEVIATING), sound.batch(ABANDONED), sound.rehearsal):
        page = printed(folder)
        signature, record, journal = page.blocks[:3]
        assert "Good" in run(signature, folder)
        assert run(record, folder).split()[0] in page.text
        assert run(journal, folder).split()[0] == record_of(folder)["journal"]["sha256"]


def test_the_code_holds_sixty_four_characters(sound: Works, printed: Printed) -> None:
    """ISO/IEC 18004, from memory: 64 bytes at level M need version 5 (84 fit; 62 in 4), 37 modules."""
    views = {value for _, name, value in printed(sound.batch(SEALED)).attributes if name == "viewbox"}
    assert "0 0 45 45" in views


def test_an_open_batch_has_no_record_to_compare_with(sound: Works, printed: Printed) -> None:
    """No code; the hash is the journal's, and says so."""
    page = printed(sound.batch(OPEN))
    assert "SHA-256 of journal.jsonl so far" in page.text
    assert "sha256sum" not in page.text


def test_the_same_batch_at_the_same_time_prints_the_same(sound: Works, printed: Printed) -> None:
    """Two prints can be compared byte for byte."""
    assert printed(sound.batch(SEALED)).html == printed(sound.batch(SEALED)).html
