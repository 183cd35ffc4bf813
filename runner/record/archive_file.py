"""The bytes of an archive: writing one, and reading one that may be hostile.

Owns the two forms, zip and tar. Reading hands out names and bytes and puts nothing anywhere. A member is
taken only as a plain file, not compressed, not encrypted, under a name that an archive may have: so neither
paths nor links nor sizes can surprise whoever unpacks it.
"""

from __future__ import annotations

import stat
import struct
import tarfile
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO

from runner.record.archive import MOST_BYTES, MOST_MEMBERS, ArchiveFault, check_next

MemberBytes = tuple[str, bytes]

_LONGEST_FILE = MOST_BYTES + MOST_MEMBERS * 1024  # members, and a head for each
_ZIP_BEGINS, _ZIP_ENDS = b"PK\x03\x04", b"PK\x05\x06"
_ZIP_END_BYTES = 22
_ZIP_HEADS = 30 + 46  # bytes of a member's two heads, its name apart
_MOST_ZIP_ENTRY = 46 + 200  # bytes of one row of the table at a zip's end, by its name's length
_BLOCK = 512
_MODE = 0o644


def form_of(path: Path) -> str:
    """Which form a new archive has, by its name: ``zip`` or ``tar``.

    Raises:
        ArchiveFault: Its name says neither.
    """
    suffix = path.suffix.lower().removeprefix(".")
    if suffix not in {"zip", "tar"}:
        raise ArchiveFault("an archive's name ends in .zip or .tar")
    return suffix


def write(file: BinaryIO, form: str, members: Iterator[MemberBytes]) -> None:
    """Write members in the order given.

    Raises:
        OSError: The disk did not take it.
    """
    if form == "tar":
        file.writelines(
            _tar_head(name, len(data)) + data + bytes(-len(data) % _BLOCK) for name, data in members
        )
        file.write(bytes(2 * _BLOCK))
        file.write(bytes(-file.tell() % tarfile.RECORDSIZE))
        return
    with zipfile.ZipFile(file, "w", zipfile.ZIP_STORED, allowZip64=False) as packed:
        for name, data in members:
            info = zipfile.ZipInfo(name)  # its time is the first that a zip can tell
            info.create_system = 3  # a system whose files have modes
            info.external_attr = (stat.S_IFREG | _MODE) << 16
            packed.writestr(info, data)


def read(file: BinaryIO) -> Iterator[MemberBytes]:
    """The members of an archive, one after the other, each checked before its bytes are read.

    Raises:
        ArchiveFault: It is none, or holds what no archive holds.
        OSError: It cannot be read.
    """
    size = file.seek(0, 2)
    if size > _LONGEST_FILE:
        raise ArchiveFault(f"{size} bytes, where {_LONGEST_FILE} are the most")
    file.seek(0)
    begins = file.read(len(_ZIP_BEGINS))
    file.seek(0)
    reads: Callable[[BinaryIO, int], Iterator[MemberBytes]] = _zip if begins == _ZIP_BEGINS else _tar
    try:
        yield from reads(file, size)
    except (zipfile.BadZipFile, tarfile.TarError, struct.error) as error:
        raise ArchiveFault(f"it is damaged, or no archive: {error}") from error
    except (ValueError, NotImplementedError, RuntimeError, EOFError, OverflowError) as error:
        raise ArchiveFault(f"it is damaged, or no archive: {error}") from error


def _zip(file: BinaryIO, size: int) -> Iterator[MemberBytes]:
    _check_zip_end(file, size)
    with zipfile.ZipFile(file) as packed:
        infos = packed.infolist()
        heads = sum(_ZIP_HEADS + 2 * len(info.orig_filename) + info.file_size for info in infos)
        if heads + _ZIP_END_BYTES != size:
            raise ArchiveFault(
                "its members do not come to its size: they lie over each other, or hide something"
            )
        before: str | None = None
        for info in infos:
            check_next(info.orig_filename, info.file_size, before)
            before = info.orig_filename
            if info.compress_type != zipfile.ZIP_STORED or info.compress_size != info.file_size:
                raise ArchiveFault("it is compressed, which no member of an archive is", before)
            if info.flag_bits or info.external_attr != (stat.S_IFREG | _MODE) << 16:
                raise ArchiveFault("it is no plain file: a link, a folder, or encrypted", before)
            yield before, packed.read(info)


def _check_zip_end(file: BinaryIO, size: int) -> None:
    """The table at a zip's end is read whole by the library, so its size is looked at first."""
    file.seek(max(0, size - _ZIP_END_BYTES))
    end = file.read(_ZIP_END_BYTES)
    if len(end) != _ZIP_END_BYTES or not end.startswith(_ZIP_ENDS):
        raise ArchiveFault("it does not end as an archive does: cut off, or something was added")
    count, table_bytes = struct.unpack("<HI", end[10:16])
    if count > MOST_MEMBERS or table_bytes > count * _MOST_ZIP_ENTRY:
        raise ArchiveFault("its table of members is larger than any archive's")
    file.seek(0)


def _tar(file: BinaryIO, size: int) -> Iterator[MemberBytes]:
    """Every head must be the very bytes that writing it gives: nothing else of the tar format has room."""
    before: str | None = None
    count = 0
    while (head := file.read(_BLOCK)) != bytes(_BLOCK):
        if len(head) != _BLOCK:
            raise ArchiveFault("it is cut off, or no archive")
        info = tarfile.TarInfo.frombuf(head, "ascii", "strict")
        check_next(info.name, info.size, before)
        if head != _tar_head(info.name, info.size):
            raise ArchiveFault("it is no plain file as an archive has it", info.name)
        count += 1
        if count > MOST_MEMBERS or file.tell() + info.size > size:
            raise ArchiveFault("more members or bytes than there can be", info.name)
        before = info.name
        data = file.read(info.size)
        if file.read(-info.size % _BLOCK).strip(b"\0"):
            raise ArchiveFault("something stands behind its bytes", info.name)
        yield info.name, data
    whole = file.tell() + _BLOCK
    whole += -whole % tarfile.RECORDSIZE
    if size != whole or file.read(tarfile.RECORDSIZE).strip(b"\0"):
        raise ArchiveFault("it does not end as an archive does: cut off, or something was added")


def _tar_head(name: str, size: int) -> bytes:
    info = tarfile.TarInfo(name)
    info.size, info.mode = size, _MODE
    return info.tobuf(tarfile.USTAR_FORMAT, "ascii", "strict")
