"""Archives spoilt by hand: each attack is a no that names what it is, and nothing comes out of the folder."""

from __future__ import annotations

import hashlib
import io
import stat
import struct
import tarfile
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from archive.conftest import Kept
from runner.record import archive
from runner.record.archive_file import write
from runner.record.archive_make import make
from runner.record.archive_verify import ArchiveVerdict, restore, verify_archive
from support.cli import call, raw_controls

Members = dict[str, bytes]
RECORD = "logs/2001-0001/record.toml"
OUTSIDE = "../outside.txt"
PATHS = (
    OUTSIDE,
    "/tmp/outside.txt",  # noqa: S108 - the very path that must not be written
    "logs/../../outside.txt",
    "logs/2001-0001/../../../outside.txt",
    "logs/2001-0001/sub/journal.jsonl",
    "logs\\2001-0001\\x",
    "C:outside.txt",
    "logs/2001-0001/",
    "logs/2001-0001/.hidden",
    "logs/2001-0001/a b",
    "procedures/shop.toml",
    "archive.toml/x",
    "",
)


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


@pytest.mark.parametrize("suffix", ["zip", "tar"])
@pytest.mark.parametrize(
    "name", [RECORD, "logs/2001-0002/journal.jsonl", "logs/shop.jsonl", "logs/allowed_signers"]
)
def test_a_changed_member_is_found(kept: Kept, tmp_path: Path, name: str, suffix: str) -> None:
    """By the list; and where the list was made to fit, by what is signed."""
    members = packed(kept, tmp_path)
    changed = {**members, name: members[name].replace(b"1", b"2", 1)}
    assert changed != members
    assert name in refused(kept, form(tmp_path / f"a.{suffix}", changed), tmp_path).findings[0].where
    refused(kept, form(tmp_path / f"b.{suffix}", listed(changed)), tmp_path)


@pytest.mark.parametrize("name", [RECORD, f"{RECORD}.sig", "logs/2001-0001/journal.jsonl", "logs/shop.jsonl"])
def test_a_missing_member_is_found(kept: Kept, tmp_path: Path, name: str) -> None:
    """By the list; and by the proof, where the list was made to fit."""
    members = packed(kept, tmp_path)
    del members[name]
    refused(kept, form(tmp_path / "a.zip", members), tmp_path)
    refused(kept, form(tmp_path / "b.zip", listed(members)), tmp_path)


def test_a_batch_taken_out_of_a_year_is_found(kept: Kept, tmp_path: Path) -> None:
    """The shop's journal in the archive knows that it ended."""
    members = packed(kept, tmp_path)
    left = {name: data for name, data in members.items() if "2001-0002" not in name}
    verdict = refused(kept, form(tmp_path / "a.tar", listed(left)), tmp_path)
    assert any(found.where == "2001-0002" and "missing" in found.what for found in verdict.findings)


def test_a_batch_of_another_year_or_none_is_found(kept: Kept, tmp_path: Path) -> None:
    """One that does not belong there, and one that the shop does not know."""
    members = packed(kept, tmp_path)
    more = {name.replace("2001-0002", "2001-0009"): data for name, data in members.items()}
    refused(kept, form(tmp_path / "a.zip", listed({**members, **more})), tmp_path)
    refused(kept, form(tmp_path / "b.zip", listed(members, "year 2002")), tmp_path)
    refused(kept, form(tmp_path / "c.zip", listed(members, "batch 2001-0001")), tmp_path)


@pytest.mark.parametrize("suffix", ["zip", "tar"])
@pytest.mark.parametrize("path", PATHS)
def test_a_path_that_no_archive_has_is_refused(kept: Kept, tmp_path: Path, path: str, suffix: str) -> None:
    """Whatever stands in the list."""
    members = [*packed(kept, tmp_path).items(), (path, b"out")]
    file = tmp_path / f"a.{suffix}"
    if suffix == "zip":
        zipped(file, members)
    else:
        tarred(file, members, lambda _: None)
    refused(kept, file, tmp_path)
    assert not (tmp_path / "outside.txt").exists()
    assert not Path("/tmp/outside.txt").exists()  # noqa: S108 - the very path that must not be written


@pytest.mark.parametrize("mode", [stat.S_IFLNK | 0o777, stat.S_IFDIR | 0o755, stat.S_IFREG | 0o4755, 0])
def test_a_zip_member_that_is_no_plain_file_is_refused(kept: Kept, tmp_path: Path, mode: int) -> None:
    """Links, folders, programs that run as their owner."""
    file = zipped(tmp_path / "a.zip", [*packed(kept, tmp_path).items()], mode=mode, only=RECORD)
    assert "plain file" in refused(kept, file, tmp_path).findings[0].what


def _symlink(info: tarfile.TarInfo) -> None:
    info.type, info.linkname, info.size = tarfile.SYMTYPE, "/etc/hostname", 0


def _hard_link(info: tarfile.TarInfo) -> None:
    info.type, info.linkname, info.size = tarfile.LNKTYPE, "logs/shop.jsonl", 0


def _device(info: tarfile.TarInfo) -> None:
    info.type, info.size = tarfile.CHRTYPE, 0


def _folder(info: tarfile.TarInfo) -> None:
    info.type, info.size = tarfile.DIRTYPE, 0


def _long_name(info: tarfile.TarInfo) -> None:
    info.name = "logs/" + "x" * 300


def _of_somebody(info: tarfile.TarInfo) -> None:
    info.uid, info.mode = 1000, 0o4755


@pytest.mark.parametrize("change", [_symlink, _hard_link, _device, _folder, _long_name, _of_somebody])
def test_a_tar_member_that_is_no_plain_file_is_refused(
    kept: Kept, tmp_path: Path, change: Callable[[tarfile.TarInfo], None]
) -> None:
    """Nothing of the format but the head that this program writes has room."""
    members = [*packed(kept, tmp_path).items()]
    assert verify_archive(tarred(tmp_path / "b.tar", members, lambda _: None), kept.owner).ok
    long = change is _long_name  # only other formats of tar can hold such a name
    file = tarred(tmp_path / "a.tar", members, change, tarfile.GNU_FORMAT if long else tarfile.USTAR_FORMAT)
    refused(kept, file, tmp_path)


@pytest.mark.parametrize("how", [zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_bomb_is_not_unpacked(kept: Kept, tmp_path: Path, how: int) -> None:
    """A compressed member of a hundred megabytes of nothing, in a file of far less."""
    members = {**packed(kept, tmp_path), RECORD: bytes(60_000_000)}
    file = zipped(tmp_path / "a.zip", [*members.items()], how=how, only=RECORD)
    assert file.stat().st_size < 1_000_000
    refused(kept, file, tmp_path)


def test_members_that_lie_over_each_other_are_refused(kept: Kept, tmp_path: Path) -> None:
    """The table of a zip may point at the same bytes many times; the sizes then do not come to the file's."""
    file = zipped(tmp_path / "a.zip", [*packed(kept, tmp_path).items()])
    raw = file.read_bytes()
    at, size, count = raw.rfind(b"PK\x05\x06"), 0, 0
    count, size, offset = struct.unpack("<HII", raw[at + 10 : at + 20])
    table = raw[offset : offset + size]
    end = raw[at : at + 8] + struct.pack("<HHII", count * 2, count * 2, size * 2, offset) + raw[at + 20 :]
    file.write_bytes(raw[:offset] + table + table + end)
    assert "lie over each other" in refused(kept, file, tmp_path).findings[0].what


@pytest.mark.parametrize("suffix", ["zip", "tar"])
def test_one_name_twice_is_refused(kept: Kept, tmp_path: Path, suffix: str) -> None:
    """Two readers could take two files for it."""
    members = [*packed(kept, tmp_path).items()]
    at = [name for name, _ in members].index(RECORD)
    members.insert(at + 1, (RECORD, b"another"))
    file = tmp_path / f"a.{suffix}"
    with file.open("wb") as out:
        if suffix == "tar":
            write(out, suffix, iter(members))
        else:
            with pytest.warns(UserWarning, match="Duplicate"):
                write(out, suffix, iter(members))
    assert "twice" in refused(kept, file, tmp_path).findings[0].what


@pytest.mark.parametrize("suffix", ["zip", "tar"])
def test_members_out_of_order_are_refused(kept: Kept, tmp_path: Path, suffix: str) -> None:
    """The list must come first, or bytes would be taken before they are bounded by it."""
    members = packed(kept, tmp_path)
    refused(kept, form(tmp_path / f"a.{suffix}", dict(reversed(members.items()))), tmp_path)


@pytest.mark.parametrize("suffix", ["zip", "tar"])
@pytest.mark.parametrize("share", [0.0, 0.001, 0.5, 0.99])
def test_an_archive_cut_off_is_refused(kept: Kept, tmp_path: Path, suffix: str, share: float) -> None:
    """A copy that broke off."""
    file = form(tmp_path / f"a.{suffix}", packed(kept, tmp_path))
    raw = file.read_bytes()
    file.write_bytes(raw[: int(len(raw) * share)])
    refused(kept, file, tmp_path)


@pytest.mark.parametrize("suffix", ["zip", "tar"])
@pytest.mark.parametrize("more", [b"x", bytes(512), b"PK\x05\x06" + bytes(18), b"\n" * 70_000])
def test_an_archive_with_something_behind_it_is_refused(
    kept: Kept, tmp_path: Path, suffix: str, more: bytes
) -> None:
    """Nothing may hide there."""
    file = form(tmp_path / f"a.{suffix}", packed(kept, tmp_path))
    file.write_bytes(file.read_bytes() + more)
    refused(kept, file, tmp_path)


@pytest.mark.parametrize(
    "manifest",
    [
        b"",
        b"format = 2\n",
        b'format = 1\nof = "year 2001"\n[[member]]\nname = "x"\n',
        b'format = 1\nof = "all"\n',
        b"a." * 100_000,
        b"\xff\xfe",
        b'format = 1\nof = "year 2001"\n# a remark\n',
    ],
)
def test_a_list_in_another_form_is_refused(kept: Kept, tmp_path: Path, manifest: bytes) -> None:
    """It has one form, so that no two readers find two things in it."""
    members = {**packed(kept, tmp_path), archive.MANIFEST: manifest}
    assert refused(kept, form(tmp_path / "a.zip", members), tmp_path).findings[0].where == archive.MANIFEST


def test_a_member_larger_than_any_record_is_refused_before_it_is_read(kept: Kept, tmp_path: Path) -> None:
    """A head that claims more than there is; the size is looked at first."""
    file = form(tmp_path / "a.tar", packed(kept, tmp_path))
    raw = bytearray(file.read_bytes())
    raw[124:136] = b"77777777777\0"
    total = sum(raw[:148]) + 8 * 32 + sum(raw[156:512])
    raw[148:156] = b"%06o\0 " % total
    file.write_bytes(raw)
    assert "are the most" in refused(kept, file, tmp_path).findings[0].what


@pytest.mark.parametrize(
    "content", [b"", b"no archive", bytes(10_240), zlib.compress(bytes(1000)), b"PK\x03\x04" + bytes(100)]
)
def test_what_is_no_archive_is_a_no_without_a_traceback(
    kept: Kept, tmp_path: Path, capsys: pytest.CaptureFixture[str], content: bytes
) -> None:
    """By the command too: exit 1, with what and where."""
    file = tmp_path / "a\x1b[31m.zip"
    file.write_bytes(content)
    refused(kept, file, tmp_path)
    ran = call(capsys, "archive", "verify", str(file))
    assert ran.status == 1
    assert raw_controls(ran.out + ran.err) == []
