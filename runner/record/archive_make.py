"""Packing records into an archive.

Owns the order of reading: the shop's journal first, since a batch that it knows as ended changes no more.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
from collections.abc import Iterator
from pathlib import Path

from runner.faults import InputFault, fault
from runner.record import allowed_signers, durable
from runner.record.archive import (
    MANIFEST,
    ArchiveFault,
    Manifest,
    Member,
    batch_of,
    longest,
    total_size,
    wanted_batches,
)
from runner.record.archive_file import MemberBytes, form_of, write
from runner.record.layout import JOURNAL, LOGS, RECORD, SHOP_JOURNAL, SIGNATURE
from runner.record.lines import LONGEST_JOURNAL
from runner.record.progress import Told, untold
from runner.record.shop_fold import ShopFault, fold
from runner.record.shop_reading import signers_of

_SCRATCH = re.compile(r"journal\.(?:lock|holder)|\..*\.tmp")
"""What a terminal leaves beside a journal while it writes: no record."""

_SEALED = (JOURNAL, RECORD, SIGNATURE)


def make(logs: Path, of: str, out: Path, told: Told = untold) -> Manifest:
    """Pack a batch, or every batch of a year that ended.

    Args:
        logs: The shop's folder of logs.
        of: ``year 2026`` or ``batch 2026-0001``.
        out: A file that is not there yet; its name ends in ``.zip`` or ``.tar``.
        told: Called as members are packed.

    Raises:
        InputFault: It cannot be made, and why.
        OSError: The disk did not take it; nothing stands there.
    """
    try:
        form = form_of(out)
        shop_files, batches = _shop_files(logs, of)
        names = [name for batch in batches for name in _batch_files(logs, batch)]
        members = [*(_member(name, data) for name, data in shop_files.items())]
        total_size(
            [len(data) for data in shop_files.values()]
            + [_path(logs, name).lstat().st_size for name in names]
        )
        members += [_member(name, _bytes(logs, name)) for name in names]
        manifest = Manifest(of, tuple(sorted(members, key=lambda one: one.name)))
        _write(logs, out, form, manifest, shop_files, told)
    except ArchiveFault as wrong:
        raise fault(f"no archive was made: {wrong}", "mend that, then call again", str(out)) from wrong
    return manifest


def batch_members(logs: Path, batch: str) -> tuple[Member, ...]:
    """What an archive of a batch must hold of its folder, as it lies there now.

    Raises:
        InputFault: It cannot be packed.
        OSError: It cannot be read.
    """
    try:
        return tuple(_member(name, _bytes(logs, name)) for name in _batch_files(logs, batch))
    except ArchiveFault as wrong:
        raise fault(str(wrong), "mend that, then call again", str(logs / batch)) from wrong


def _shop_files(logs: Path, of: str) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """The shop's own two members, and the batches to be packed."""
    path = logs / SHOP_JOURNAL
    try:
        journal = durable.read_whole(path, LONGEST_JOURNAL)
        shop, torn_bytes = fold(journal)
    except OSError as error:
        raise fault(
            f"the shop's journal cannot be read: {error.strerror or error}", "name a shop's folder", str(path)
        ) from error
    except ShopFault as wrong:
        message = f"the shop's journal does not prove: {wrong.reason}"
        raise fault(message, "call the owner; change nothing", str(path), wrong.line) from wrong
    whole = journal[: len(journal) - torn_bytes]  # what another terminal is writing just now is not there yet
    signers = allowed_signers.text_of(signers_of(shop)).encode("ascii")
    files = {f"{LOGS}/{allowed_signers.FILE}": signers, f"{LOGS}/{SHOP_JOURNAL}": whole}
    return files, wanted_batches(of, shop)


def _batch_files(logs: Path, batch: str) -> list[str]:
    """The members of a batch: journal, record, signature, and whatever plain files were put beside them."""
    folder = logs / batch
    there = [path.name for path in folder.iterdir()] if folder.is_dir() else []
    found = sorted(name for name in there if not _SCRATCH.fullmatch(name))
    missing = [name for name in _SEALED if name not in found]
    if missing or folder.is_symlink():
        raise ArchiveFault(
            f"its folder lacks {', '.join(missing) or 'a folder of its own: it is a link'}", batch
        )
    for name in found:
        longest(f"{LOGS}/{batch}/{name}")
        if not (folder / name).is_file() or (folder / name).is_symlink():
            raise ArchiveFault("it is no plain file", f"{batch}/{name}")
    return [f"{LOGS}/{batch}/{name}" for name in found]


def _path(logs: Path, name: str) -> Path:
    return logs / name.removeprefix(f"{LOGS}/")


def _bytes(logs: Path, name: str) -> bytes:
    return durable.read_whole(_path(logs, name), longest(name))


def _member(name: str, data: bytes) -> Member:
    return Member(name, len(data), hashlib.sha256(data).hexdigest())


def _write(
    logs: Path, out: Path, form: str, manifest: Manifest, shop_files: dict[str, bytes], told: Told
) -> None:
    """Under another name first: an archive is there whole, or not at all."""
    if os.path.lexists(out):
        raise InputFault(*fault("something stands there already", "name a new file", str(out)).faults)
    beside = out.with_name(f".{out.name}.{os.getpid()}.tmp")
    try:
        with beside.open("xb") as file:
            write(file, form, _members(logs, manifest, shop_files, told))
            file.flush()
            os.fsync(file.fileno())
        beside.rename(out)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise
    durable.fsync_folder(out.parent)


def _members(
    logs: Path, manifest: Manifest, shop_files: dict[str, bytes], told: Told
) -> Iterator[MemberBytes]:
    yield MANIFEST, manifest.text().encode("ascii")
    for done, member in enumerate(manifest.members):
        told(done, len(manifest.members))
        data = shop_files[member.name] if batch_of(member.name) is None else _bytes(logs, member.name)
        if hashlib.sha256(data).hexdigest() != member.sha256:
            raise ArchiveFault("it was changed while it was packed", member.name)
        yield member.name, data
