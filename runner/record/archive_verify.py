"""Proving an archive on its own, and unpacking it.

Owns the way from its bytes to a folder that `runner.record.verify_batch` proves as it proves a shop's. The
list in an archive only shows damage; what proves are the signatures in it and the owner's fingerprint.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from runner.faults import fault
from runner.record.archive import MANIFEST, ArchiveFault, Manifest, read_manifest, wanted_batches
from runner.record.archive_file import read
from runner.record.layout import LOGS
from runner.record.progress import Told, untold
from runner.record.reader import Finding
from runner.record.shop_state import ShopState
from runner.record.trust import Trust, ground
from runner.record.verify_batch import BatchProof, deletion_words
from runner.record.verify_many import prove_many


@dataclass(frozen=True, slots=True)
class ArchiveVerdict:
    """What came of proving an archive.

    Attributes:
        trust: What it rests on.
        findings: What does not prove; none means that all of it does.
        batches: The proof of each batch in it.
        notes: What is no fault but to be known, such as batches of its year that were deleted before.
        manifest: What it says that it holds; None where it cannot be read.
    """

    trust: Trust
    findings: tuple[Finding, ...]
    batches: tuple[BatchProof, ...] = ()
    notes: tuple[str, ...] = ()
    manifest: Manifest | None = None

    @property
    def ok(self) -> bool:
        """Whether everything proves."""
        return not self.findings


def verify_archive(
    file: Path, owner: str | None = None, signers: Path | None = None, told: Told = untold
) -> ArchiveVerdict:
    """Prove an archive in a folder of its own, which is taken away again.

    Args:
        file: The archive.
        owner: Fingerprint of the owner's key, from paper.
        signers: A list of signers kept outside.
        told: Called as batches are done.

    Raises:
        InputFault: There is no such file, or it cannot be read.
    """
    with tempfile.TemporaryDirectory(prefix="tankwalk-") as folder:
        return _proved(file, Path(folder), owner, signers, told)


def restore(
    file: Path, folder: Path, owner: str | None = None, signers: Path | None = None, told: Told = untold
) -> ArchiveVerdict:
    """Unpack an archive that proves into an empty folder; of one that does not, nothing is left there.

    Raises:
        InputFault: There is no such file, or the folder is not empty.
        OSError: The disk did not take it.
    """
    if os.path.lexists(folder) and (folder.is_symlink() or not folder.is_dir() or any(folder.iterdir())):
        raise fault("it is no empty folder", "name a folder that is empty or not there yet", str(folder))
    with _beside(folder) as unpacked:
        verdict = _proved(file, unpacked, owner, signers, told)
        if verdict.ok:
            os.sync()
            unpacked.chmod(0o755)
            unpacked.replace(folder)
    return verdict


@contextmanager
def _beside(folder: Path) -> Iterator[Path]:
    made = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.absolute().parent))
    try:
        yield made
    finally:
        if made.exists():
            shutil.rmtree(made)


def _proved(file: Path, folder: Path, owner: str | None, signers: Path | None, told: Told) -> ArchiveVerdict:
    trust: Trust = "pinned" if owner is not None or signers is not None else "beside the records"
    try:
        manifest = _unpack(file, folder)
        return _proved_folder(manifest, folder / LOGS, owner, signers, told)
    except ArchiveFault as wrong:
        return ArchiveVerdict(trust, (Finding(wrong.reason, wrong.where or file.name),))
    except FileNotFoundError as error:
        raise fault("there is no such archive", "name an archive's file", str(file)) from error


def _proved_folder(
    manifest: Manifest, logs: Path, owner: str | None, signers: Path | None, told: Told
) -> ArchiveVerdict:
    trusted = ground(logs, signers, owner)
    if trusted.shop is None:
        missing = Finding("without a shop's journal that proves, no archive does", MANIFEST)
        return ArchiveVerdict(trusted.trust, (*trusted.findings, missing), manifest=manifest)
    wanted = wanted_batches(manifest.of, trusted.shop)
    findings = list(trusted.findings)
    findings += [
        Finding("it is of this archive, by the shop's journal, and missing", name)
        for name in wanted
        if name not in manifest.batches
    ]
    findings += [
        Finding("it does not belong in this archive", name) for name in manifest.batches if name not in wanted
    ]
    proofs = prove_many([logs / name for name in manifest.batches], trusted, told)
    for proof in proofs:
        findings += [Finding(found.what, f"{proof.batch} {found.where}") for found in proof.findings]
    notes = tuple(_left_out(manifest.of, trusted.shop))
    return ArchiveVerdict(trusted.trust, tuple(findings), proofs, notes, manifest)


def _left_out(of: str, shop: ShopState) -> Iterator[str]:
    """Batches of the archive's year that are not in it, and why."""
    year = of.removeprefix("year ")
    for name, one in shop.batches.items():
        if not name.startswith(f"{year}-"):
            continue
        if one.closed is None:
            yield f"{name}: open when the archive was made"
        elif one.deleted is not None:
            yield f"{name}: {deletion_words(one.deleted)}"


def _unpack(file: Path, folder: Path) -> Manifest:
    """Put every member into an empty folder, each made new, and compare them with the list."""
    manifest: Manifest | None = None
    found = 0
    with file.open("rb") as packed:
        for name, data in read(packed):
            target = folder / name  # a name that an archive may have stays below the folder
            target.parent.mkdir(parents=True, exist_ok=True)
            with target.open("xb") as made:
                made.write(data)
            if manifest is None:
                manifest = read_manifest(data)
                continue
            listed = manifest.members[found] if found < len(manifest.members) else None
            if listed is None or listed.name != name:
                raise ArchiveFault("the list of the archive names another member here, or none", name)
            if (listed.size, listed.sha256) != (len(data), hashlib.sha256(data).hexdigest()):
                raise ArchiveFault("it is not what the list of the archive says", name)
            found += 1
    if manifest is None or found != len(manifest.members):
        missing = manifest.members[found].name if manifest else MANIFEST
        raise ArchiveFault("it is missing", missing)
    return manifest
