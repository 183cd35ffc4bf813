"""Files and folders of records cut, taken away, renamed, put in each other's place, opened again."""

from __future__ import annotations

import hashlib
import os
import shutil
from pathlib import Path

import pytest

from support.forger import edited, raw_lines, read
from support.saying import Found, Made, Proved
from support.works import DEVIATING, ENDED, FRESH, OPEN, SEALED, Works

RECORD, SIGNATURE, JOURNAL = "record.toml", "record.toml.sig", "journal.jsonl"


def _cut(works: Works, batch: str, lines: int) -> None:
    file = works.batch(batch) / JOURNAL
    file.write_bytes(b"".join(raw_lines(file)[:lines]))


def test_a_sealed_batch_cut_anywhere_is_found(works: Works, found: Found) -> None:
    """Found: the shop's journal says that it ended, and its record that it was longer."""
    file = works.batch(SEALED) / JOURNAL
    whole = file.read_bytes()
    for kept in range(len(raw_lines(file))):
        _cut(works, SEALED, kept)
        found(works.folder, SEALED)
        file.write_bytes(whole)


@pytest.mark.parametrize("batch", ENDED)
def test_an_ended_batch_put_back_to_open_is_found(works: Works, found: Found, batch: str) -> None:
    """Found: without its last line and its seal it looks open, but the shop's journal knows."""
    _cut(works, batch, len(read(works.batch(batch) / JOURNAL)) - 1)
    (works.batch(batch) / RECORD).unlink()
    (works.batch(batch) / SIGNATURE).unlink()
    found(works.folder, f"{batch} {JOURNAL}", "says that it ended, and it stands open")


def test_an_open_batch_cut_before_what_the_shop_saw_is_found(
    works: Works, found: Found, verdict: Proved
) -> None:
    """Found up to the last line that the shop's journal saw when the next batch was opened; not found after.

    A tail cut off an open batch, after the last time that anything was opened, leaves no trace but in the
    memory of the terminal that holds it.
    """
    file = works.batch(OPEN) / JOURNAL
    whole = raw_lines(file)
    hashes = [hashlib.sha256(raw).hexdigest() for raw in whole]
    seen = [
        hashes.index(line.data["open"][OPEN])
        for line in read(works.logs / "shop.jsonl")
        if OPEN in line.data.get("open", {})
    ]
    assert 0 < max(seen) < len(whole)
    for kept in range(len(whole)):
        _cut(works, OPEN, kept)
        if kept <= max(seen):
            found(works.folder, OPEN)
        else:
            assert verdict(works.folder).ok
        file.write_bytes(b"".join(whole))


def test_a_batch_taken_away_is_found(works: Works, found: Found) -> None:
    """Found: the shop's journal knows it, open or ended."""
    for batch in (SEALED, FRESH):
        shutil.rmtree(works.batch(batch))
        found(works.folder, f"{batch} {JOURNAL}", "cannot be read")


def test_a_batch_renamed_is_found_twice(works: Works, found: Found) -> None:
    """Found: one is missing, and the other is not known and says another name."""
    works.batch(SEALED).rename(works.batch("2026-0099"))
    findings = found(works.folder, f"{SEALED} {JOURNAL}", "cannot be read")
    said = {(one.what, one.where) for one in findings}
    assert ("a batch that the shop's journal does not know", "2026-0099") in said
    assert (f"it is batch {SEALED}, in a folder named 2026-0099", "2026-0099 line 1") in said


def test_a_number_used_again_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: another batch under a number that was given, with its own chain and seal."""
    everybody = forger("otto", "cleo")
    lines = read(everybody.journal(DEVIATING))
    opened = lines[0].data
    everybody.rewrite(SEALED, [edited(lines[0], **{**opened, "batch": SEALED}), *lines[1:]])
    everybody.reseal(SEALED, "cleo")
    findings = found(works.folder, f"{SEALED} line 1", "not the first line that the shop's journal knows")
    assert any("names another record" in one.what for one in findings)


def test_two_batches_in_each_others_folder_are_found(works: Works, found: Found) -> None:
    """Found in both."""
    works.batch(SEALED).rename(works.logs / "x")
    works.batch(DEVIATING).rename(works.batch(SEALED))
    (works.logs / "x").rename(works.batch(DEVIATING))
    for batch in (SEALED, DEVIATING):
        found(works.folder, f"{batch} line 1", "in a folder named")


def _link(path: Path) -> None:
    path.rename(path.with_name("elsewhere"))
    path.symlink_to("elsewhere")


def _folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


def _pipe(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


def _gone(path: Path) -> None:
    path.unlink()


def _empty(path: Path) -> None:
    path.write_bytes(b"")


def _hollow(path: Path) -> None:
    """A file of a terabyte, of which the disk holds nothing."""
    os.truncate(path, 2**40)


def _dangling(path: Path) -> None:
    path.unlink()
    path.symlink_to("nowhere")


STANDS = {one.__name__.strip("_"): one for one in (_link, _folder, _pipe, _gone, _empty, _hollow, _dangling)}


@pytest.mark.timeout(20)
@pytest.mark.parametrize("stands", STANDS)
@pytest.mark.parametrize("name", [JOURNAL, RECORD, SIGNATURE])
def test_what_is_no_plain_file_is_found(works: Works, found: Found, name: str, stands: str) -> None:
    """Found at once, by name, and never waited for: a link, a folder, a pipe, a hollow terabyte, nothing."""
    STANDS[stands](works.batch(SEALED) / name)
    places = {one.where for one in found(works.folder, SEALED)}
    assert places & ({f"{SEALED} {JOURNAL}", f"{SEALED} line 1"} if name == JOURNAL else {f"{SEALED} {name}"})


@pytest.mark.timeout(20)
@pytest.mark.parametrize("stands", STANDS)
@pytest.mark.parametrize("name", ["shop.jsonl", "allowed_signers"])
def test_what_is_no_plain_file_beside_the_records_is_found(
    works: Works, found: Found, name: str, stands: str
) -> None:
    """Found, whether the shop is proved or one batch of it."""
    STANDS[stands](works.logs / name)
    if (name, stands) == ("shop.jsonl", "gone"):
        found(works.batch(SEALED), name, "there is none")
        return
    found(works.folder, name)
    found(works.batch(SEALED), name)


def test_a_folder_that_is_a_link_is_found(works: Works, found: Found) -> None:
    """Found: its files could be anybody's tomorrow."""
    _link(works.batch(SEALED))
    found(works.folder, SEALED, "its folder is a link")


def test_a_record_beside_an_open_batch_is_found(works: Works, found: Found) -> None:
    """Found: also a link to one, and a link to nothing."""
    for name in (RECORD, SIGNATURE):
        for made in (
            shutil.copy,
            lambda source, target: target.symlink_to(source),
            lambda _, target: target.symlink_to("x"),
        ):
            made(works.batch(SEALED) / name, works.batch(OPEN) / name)
            found(works.folder, f"{OPEN} {name}", "an open batch has no record")
            (works.batch(OPEN) / name).unlink()


def test_a_record_without_a_journal_in_a_folder_of_its_own_is_found(works: Works, found: Found) -> None:
    """Found: the list of records would show it, so proof must not pass it over."""
    for name in (RECORD, SIGNATURE):
        target = works.batch("2026-0077")
        target.mkdir()
        shutil.copy(works.batch(SEALED) / name, target / name)
        found(works.folder, "2026-0077", "does not know")
        shutil.rmtree(target)
