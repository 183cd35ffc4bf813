"""Proving what was added to a sealed record: each addendum is there, whole, and signed by who added it.

A removed one is found missing, since the shop's journal names each by its hash.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

from runner.record import durable, sshsig
from runner.record.layout import ADDENDUM_NAMESPACE, RECORD
from runner.record.reader import Finding
from runner.record.shop_state import ShopBatch, ShopState

LONGEST = 64 * 1024
"""Most bytes of an addendum, and of its signature."""


def file_of(folder: Path, number: int) -> Path:
    """Where an addendum of a batch lies; its signature beside it with ``.sig`` behind the name."""
    return folder / f"addendum-{number}.toml"


def head(batch: str, number: int, record: str) -> bytes:
    """How an addendum begins: what it is about."""
    about = f'format = 1\nbatch = "{batch}"\nnumber = {number}\nrecord_sha256 = "{record}"\n'
    return about.encode("utf-8")


def addenda_proved(folder: Path, told: ShopBatch, shop: ShopState) -> Iterator[Finding]:
    """What is wrong with the addenda of a batch: one missing, changed, unsigned, or known to nobody."""
    for number, addendum in enumerate(told.addenda, start=1):
        path = file_of(folder, number)
        try:
            content = durable.read_whole(path, LONGEST)
            signature = durable.read_whole(Path(f"{path}.sig"), LONGEST)
        except OSError as error:
            yield Finding(f"it cannot be read: {error.strerror or error}", path.name)
            continue
        if hashlib.sha256(content).hexdigest() != addendum.sha256:
            yield Finding("it is not the addendum that the shop's journal knows", path.name)
        if not content.startswith(head(folder.name, number, told.record or "")):
            yield Finding("it is not about this batch's record", path.name)
        try:
            public = sshsig.check(sshsig.unarmour(signature.decode("ascii")), ADDENDUM_NAMESPACE, content)
        except (UnicodeDecodeError, sshsig.SignatureFault) as wrong:
            yield Finding(f"its signature does not stand: {wrong}", f"{path.name}.sig")
            continue
        person = shop.people.get(addendum.by)
        keys = [held.public for held in person.keys if held.stood_at(addendum.line)] if person else []
        if public not in keys:
            yield Finding(f"it is not signed by {addendum.by}, who added it", f"{path.name}.sig")
    known = {file_of(folder, number).name for number in range(1, len(told.addenda) + 1)}
    for path in sorted(folder.glob("addendum-*.toml")):
        if path.name not in known:
            yield Finding("an addendum that the shop's journal does not know", path.name)


def addenda_notes(told: ShopBatch) -> Iterator[str]:
    """What a reader of the record must be told."""
    if told.addenda:
        yield f"addenda signed since: {len(told.addenda)}; read them beside {RECORD}"
