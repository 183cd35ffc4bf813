"""Archives spoilt by hand, as anybody can write one, and what is to be said of each."""

from __future__ import annotations

import hashlib
import io
import stat
import tarfile
import zipfile
from collections.abc import Callable
from pathlib import Path

from runner.record import archive
from runner.record.archive_file import write
from runner.record.archive_make import make
from runner.record.archive_verify import ArchiveVerdict, restore, verify_archive
from support.kept import Kept

Members = dict[str, bytes]
RECORD = "logs/2001-0001/record.toml"


def packed(kept: Kept, tmp_path: Path) -> Members:
    """The members of a sound archive of the year 2001."""
    make(kept.logs, "year 2001", tmp_path / "sound.zip")
    with zipfile.ZipFile(tmp_path / "sound.zip") as sound:
        return {name: sound.read(name) for name in sound.namelist()}


def listed(members: Members, of: str = "year 2001") -> Members:
    """The members under a list that fits them, as whoever spoils one can write it."""
    rest = {name: data for name, data in sorted(members.items()) if name != archive.MANIFEST}
    entries = tuple(
        archive.Member(name, len(data), hashlib.sha256(data).hexdigest()) for name, data in rest.items()
    )
    return {archive.MANIFEST: archive.Manifest(of, entries).text().encode("ascii"), **rest}


def zipped(
    file: Path,
    members: list[tuple[str, bytes]],
    *,
    how: int = zipfile.ZIP_STORED,
    mode: int = stat.S_IFREG | 0o644,
    only: str | None = None,
) -> Path:
    """A zip as anybody can write one; `how` and `mode` are those of one member, or of all."""
    with zipfile.ZipFile(file, "w") as out:
        for name, data in members:
            info = zipfile.ZipInfo(name)
            chosen = only is None or name == only
            info.create_system = 3
            info.external_attr = (mode if chosen else stat.S_IFREG | 0o644) << 16
            out.writestr(info, data, compress_type=how if chosen else zipfile.ZIP_STORED)
    return file


def tarred(
    file: Path,
    members: list[tuple[str, bytes]],
    change: Callable[[tarfile.TarInfo], None],
    form_of_tar: int = tarfile.USTAR_FORMAT,
) -> Path:
    """A tar as anybody can write one, with the head of the record changed."""
    with tarfile.open(file, "w", format=form_of_tar) as out:
        for name, data in members:
            info = tarfile.TarInfo(name)
            info.size = len(data)
            if name == RECORD:
                change(info)
            out.addfile(info, io.BytesIO(data if info.isreg() else b""))
    return file


def form(file: Path, members: Members) -> Path:
    """An archive of these members in this program's own form, in the order given."""
    with file.open("wb") as out:
        write(out, file.suffix[1:], iter(members.items()))
    return file


def refused(kept: Kept, file: Path, tmp_path: Path) -> ArchiveVerdict:
    """The verdict on a spoilt archive; fails where it proves, or where restoring leaves anything anywhere."""
    there = {path for path in tmp_path.parent.rglob("*") if "shop" not in path.parts}
    verdict = verify_archive(file, kept.owner)
    assert not verdict.ok
    again = restore(file, tmp_path / "restored", kept.owner)
    assert [found.what for found in again.findings] == [found.what for found in verdict.findings]
    assert {path for path in tmp_path.parent.rglob("*") if "shop" not in path.parts} == there
    return verdict
