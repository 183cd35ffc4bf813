"""Files that are no archive as this program writes one: refused, and nothing comes out of the folder."""

from __future__ import annotations

import stat
import struct
import tarfile
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from runner.record.archive_file import write
from runner.record.archive_verify import verify_archive
from support.cli import call, raw_controls
from support.kept import Kept
from support.spoilt_archives import RECORD, form, packed, refused, tarred, zipped

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
