"""A forger at the files of a shop: lines, chain, signatures and seals, each done or left undone on purpose.

Shares with the program what a forger would take from it: the bytes of a line and of a signature. What a line
may say it does not care about.
"""

from __future__ import annotations

import hashlib
import json
import subprocess
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from runner.batch.moment import Moment
from runner.record import sshsig
from runner.record.fold import FoldFault
from runner.record.keys import UnlockedKey
from runner.record.lines import GENESIS, Line, dump, line_hash, parse, unsigned_bytes
from runner.record.render import render
from runner.record.session import Session
from support.journals import moment
from support.works import FRESH, Works

LINES = "journal-line@tankwalk"
RECORDS = "batch-record@tankwalk"


def raw_lines(file: Path) -> list[bytes]:
    """The lines of a journal, newlines kept."""
    return file.read_bytes().splitlines(keepends=True)


def read(file: Path) -> list[Line]:
    """The lines of a sound journal."""
    return [parse(raw) for raw in raw_lines(file)]


def write(file: Path, lines: Sequence[Line]) -> None:
    """Put lines in place of a journal."""
    file.write_bytes(b"".join(map(dump, lines)))


def edited(line: Line, **data: Any) -> Line:
    """A line that tells something else, its signature left as it was."""
    return line._replace(data={**line.data, **data})


def later(line: Line, seconds: float) -> Moment:
    """A moment so many seconds after a line, on its boot."""
    ms = round(seconds * 1000)
    return line.moment._replace(at_ms=line.moment.at_ms + ms, up_ms=line.moment.up_ms + ms)


def signed(line: Line, key: UnlockedKey | None, namespace: str = LINES) -> Line:
    """A line with a signature by any key, or with none."""
    bare = line._replace(sig=None)
    return bare if key is None else bare._replace(sig=key.signer(namespace).sign(unsigned_bytes(bare)))


def chained(
    lines: Sequence[Line], keys: Mapping[str, UnlockedKey] | None = None, namespace: str = LINES
) -> list[Line]:
    """Lines numbered and chained anew.

    Args:
        lines: In the order wanted.
        keys: By the id that a signed line names, the key to sign it anew with; lines of others keep the
            signature that they had, which fits no more.
        namespace: What the new signatures are good for.
    """
    out: list[Line] = []
    prev = GENESIS
    for number, line in enumerate(lines, start=1):
        link = line._replace(seq=number, prev=prev)
        if link.sig is not None and keys and link.who in keys:
            link = signed(link, keys[link.who], namespace)
        out.append(link)
        prev = line_hash(dump(link))
    return out


def told(kind: str, data: dict[str, Any], session: Session, moment: Moment, *, sign: bool = True) -> Line:
    """A line that somebody writes by hand, to be chained; signed lines are signed anew by `chained`."""
    return Line(1, moment, kind, data, session.person.id, GENESIS, "AAAA" if sign else None)


def named(session: Session, **other: str) -> dict[str, str]:
    """How somebody names themselves in a line, or somebody else."""
    by = session.person
    return {"id": by.id, "name": by.name, "role": by.role, "key": by.key, **other}


@dataclass
class Forger:
    """Works on one copy of a shop, with the keys of some of its people.

    Attributes:
        works: The copy.
        keys: Keys in the forger's hands, by person.
    """

    works: Works
    keys: dict[str, UnlockedKey]

    def journal(self, batch: str) -> Path:
        """A batch's journal."""
        return self.works.batch(batch) / "journal.jsonl"

    @property
    def shop(self) -> Path:
        """The shop's journal."""
        return self.works.logs / "shop.jsonl"

    def rewrite(self, batch: str, lines: Sequence[Line]) -> list[Line]:
        """Chain lines anew, sign what the forger's keys can, and put them in place of a journal."""
        made = chained(lines, self.keys)
        write(self.journal(batch), made)
        return made

    def append(self, batch: str, *lines: Line) -> list[Line]:
        """More lines at the end of a batch's journal, chained and signed."""
        return self.rewrite(batch, [*read(self.journal(batch)), *lines])

    def by_hand(self, batch: str, who: str, *facts: tuple[str, dict[str, Any], float]) -> list[Line]:
        """Somebody writes on in a batch: kind, data and seconds after the line before, each signed."""
        lines = read(self.journal(batch))
        for kind, data, seconds in facts:
            lines.append(told(kind, data, self.works.people[who], later(lines[-1], seconds)))
        return self.rewrite(batch, lines)

    def reseal(self, batch: str, who: str, namespace: str = RECORDS) -> bytes:
        """Record and signature over a journal as it is now; an honest renderer's, so far as it folds."""
        folder = self.works.batch(batch)
        try:
            record = render(self.journal(batch).read_bytes())
        except FoldFault:
            record = (folder / "record.toml").read_bytes()
        self.sign_record(folder, record, who, namespace)
        return record

    def sign_record(self, folder: Path, record: bytes, who: str, namespace: str = RECORDS) -> None:
        """Any bytes as a record, signed."""
        (folder / "record.toml").write_bytes(record)
        blob = self.works.people[who].key.sign(namespace, record)
        (folder / "record.toml.sig").write_text(sshsig.armour(blob), encoding="ascii")

    def rewrite_shop(self, lines: Sequence[Line]) -> list[Line]:
        """Chain the shop's journal anew, and sign what the forger's keys can."""
        made = chained(lines, self.keys)
        write(self.shop, made)
        return made

    def append_shop(self, *lines: Line) -> list[Line]:
        """More lines at the end of the shop's journal, chained and signed."""
        return self.rewrite_shop([*read(self.shop), *lines])

    def open_one_more(self, who: str, **fields: Any) -> str:
        """Somebody takes the last batch's opening for one more, and tells the shop's journal of it."""
        batch = "2026-0007"
        self.works.batch(batch).mkdir()
        self.rewrite(batch, [edited(read(self.journal(FRESH))[0], batch=batch, **fields)._replace(who=who)])
        at = next(one for one in reversed(read(self.shop)) if one.kind == "batch-opened")
        data = {**at.data, "batch": batch, "open": {**at.data["open"], FRESH: ""}}
        self.append_shop(told("batch-opened", data, self.works.people[who], moment(7000)))
        self.fit_shop(batch)
        return batch

    def fit_shop(self, batch: str) -> None:
        """Make the shop's journal say of a batch what its files now say, where the keys allow it."""
        first = line_hash(raw_lines(self.journal(batch))[0])
        record = self.works.batch(batch) / "record.toml"
        lines = []
        for line in read(self.shop):
            if line.data.get("batch") == batch and "first" in line.data:
                lines.append(edited(line, first=first))
            elif line.data.get("batch") == batch and record.exists():
                lines.append(edited(line, record=hashlib.sha256(record.read_bytes()).hexdigest()))
            else:
                lines.append(line)
        self.rewrite_shop(lines)


def json_line(fields: Mapping[str, Any]) -> bytes:
    """A line of any JSON, as a writer would lay it out."""
    return json.dumps(fields, separators=(",", ":")).encode("ascii") + b"\n"


def stock_says(folder: Path, signers: Path, who: str, namespace: str = RECORDS) -> bool:
    """Whether `ssh-keygen -Y verify` takes a folder's record."""
    places = ["-f", str(signers), "-s", str(folder / "record.toml.sig")]
    done = subprocess.run(
        ["ssh-keygen", "-Y", "verify", "-I", who, "-n", namespace, *places],
        input=(folder / "record.toml").read_bytes(),
        capture_output=True,
        timeout=60,
        check=False,
    )
    return done.returncode == 0
