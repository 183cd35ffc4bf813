"""Rehearsals passed off as production, and production hidden among rehearsals."""

from __future__ import annotations

import shutil
from pathlib import Path

from support.forger import chained, edited, raw_lines, read, stock_says, write
from support.saying import Found, Made, Proved
from support.works import ENDED, SEALED, Works

JOURNAL = "journal.jsonl"


def test_a_rehearsal_among_the_batches_is_found(works: Works, found: Found) -> None:
    """Found, under its own name or a batch's: mode, purposes and signer are practice's."""
    shutil.copytree(works.rehearsal, works.batch("practice-2026-0001"))
    found(works.folder, "practice-2026-0001", "does not know")
    for at in (works.folder, works.batch("practice-2026-0001")):
        found(at, "line 1", "a practice batch does not count in production")
        found(at, "line 1", "namespace is not journal-line@tankwalk")
        found(at, "record.toml.sig", "namespace is not batch-record@tankwalk")


def test_a_rehearsal_in_place_of_a_batch_is_found(works: Works, found: Found) -> None:
    """Found also by the shop's journal, which knows another first line and another record."""
    shutil.rmtree(works.batch(SEALED))
    shutil.copytree(works.rehearsal, works.batch(SEALED))
    found(works.folder, f"{SEALED} line 1", "not the first line that the shop's journal knows")


def test_a_batch_among_the_rehearsals_is_found(works: Works, found: Found) -> None:
    """Found: production does not count there, and its signatures are good for other purposes."""
    for batch in ENDED:
        hidden = works.logs / "practice" / batch
        shutil.copytree(works.batch(batch), hidden)
        shutil.copy(works.logs / "allowed_signers", hidden / "allowed_signers")
        found(hidden, "line 1", "a production batch does not count in logs/practice")
        found(hidden, "line 1", "namespace is not practice-line@tankwalk")


def test_a_rehearsal_elsewhere_does_not_count(works: Works, found: Found, tmp_path: Path) -> None:
    """Found: it counts in a shop's logs/practice and nowhere else."""
    other = tmp_path / "elsewhere" / "practice" / works.rehearsal.name
    shutil.copytree(works.rehearsal, other)
    found(other, works.rehearsal.name, "counts only in logs/practice")
    bare = tmp_path / works.rehearsal.name
    shutil.copytree(works.rehearsal, bare)
    found(bare, "line 1", "a practice batch does not count in production")


def test_a_rehearsal_renamed_is_found(works: Works, found: Found) -> None:
    """Found: its first line says its name."""
    other = works.rehearsal.with_name("practice-2026-0042")
    works.rehearsal.rename(other)
    found(other, "line 1", "in a folder named practice-2026-0042")


def test_the_list_of_a_rehearsal_is_no_list_for_production(works: Works, found: Found) -> None:
    """Found, here and by stock tools: the key of a rehearsal is good for practice alone."""
    folder = works.rehearsal
    (who, *_) = (folder / "allowed_signers").read_text("ascii").split()
    assert stock_says(folder, folder / "allowed_signers", who, "practice-record@tankwalk")
    assert not stock_says(folder, folder / "allowed_signers", who, "batch-record@tankwalk")
    assert not stock_says(folder, works.logs / "allowed_signers", who, "practice-record@tankwalk")
    found(works.batch(SEALED), "line 1", "not among the signers", signers=folder / "allowed_signers")


def test_a_rehearsal_turned_to_production_by_an_operator_is_found(
    works: Works, forger: Made, found: Found
) -> None:
    """Found: its lines chained and signed anew as production still name who practised, whom nobody knows."""
    otto = forger("otto")
    lines = read(works.rehearsal / JOURNAL)
    shutil.rmtree(works.batch(SEALED))
    shutil.copytree(works.rehearsal, works.batch(SEALED))
    opened = edited(lines[0], mode="production", batch=SEALED)
    otto.keys[opened.who] = otto.keys["otto"]
    write(otto.journal(SEALED), chained([opened, *lines[1:]], otto.keys))
    otto.reseal(SEALED, "otto")
    otto.fit_shop(SEALED)
    found(works.batch(SEALED), "line 1", "who is not among the signers")


def test_a_rehearsal_cut_or_changed_is_found(works: Works, found: Found, verdict: Proved) -> None:
    """Found by its record and its chain; cut back with its seal gone it is an open one, and says so."""
    file = works.rehearsal / JOURNAL
    whole = raw_lines(file)
    for kept in range(1, len(whole)):
        file.write_bytes(b"".join(whole[:kept]))
        found(works.rehearsal, "record.toml", "an open batch has no record")
    for name in ("record.toml", "record.toml.sig"):
        (works.rehearsal / name).unlink()
    assert verdict(works.rehearsal).said == "open; what is there proves"


def test_practice_is_never_proved_with_the_shop(works: Works, verdict: Proved) -> None:
    """What lies in logs/practice neither counts nor spoils when the shop's batches are proved."""
    (works.rehearsal / JOURNAL).write_bytes(b"nonsense")
    assert verdict(works.folder).ok
