"""Questions to the index, against a scan of every journal's lines that knows neither index nor fold."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from runner.batch.moment import from_rfc3339, rfc3339
from runner.record.index import search
from runner.record.index_query import Wanted
from support.mill import CUSTOMERS, PARTS, REASONS, Mill

NOW = "2026-06-01T00:00:00.000Z"


class Scanned:
    """What one journal says, read line by line."""

    def __init__(self, journal: Path) -> None:
        self.lines: list[dict[str, Any]] = [
            json.loads(row) for row in journal.read_text("ascii").splitlines()
        ]
        self.first = self.lines[0]["data"]
        self.name = journal.parent.name
        self.began: str = self.lines[0]["at"]
        last = self.lines[-1]
        self.ended: str | None = last["at"] if last["kind"] in {"batch-released", "batch-abandoned"} else None
        self.runs: list[tuple[str | None, str, str | None, str]] = []  # tank, entered, left, who
        for line in self.lines:
            if line["kind"] == "step-entered":
                tank = self.first["plan"]["steps"][line["data"]["step"] - 1].get("tank")
                self.runs.append((tank, line["at"], None, line["who"]))
            elif line["kind"] == "step-left":
                self.runs[-1] = (*self.runs[-1][:2], line["at"], line["who"])

    def people(self) -> set[str]:
        """Ids and names, in small letters, of whoever signed or walked."""
        names = [line["data"].get("by") for line in self.lines]
        named = {text.casefold() for by in names if by for text in (by["name"], by["id"])}
        return named | {line["who"] for line in self.lines}

    def deviations(self) -> list[str]:
        """All words of each deviation."""
        found: dict[int, str] = {}
        for line in self.lines:
            data = line["data"]
            if line["kind"] == "deviation-raised":
                found[data["number"]] = f"{data['what']}\n{data['detail']}"
            elif line["kind"] == "deviation-explained":
                found[data["number"]] += f"\n{data['reason']}"
        return [words.casefold() for words in found.values()]

    def fits(self, wanted: Wanted) -> bool:
        """Whether it is wanted, by the words of the filters' own descriptions."""

        def under_way(began: str, ended: str | None) -> bool:
            early = wanted.until is not None and began >= wanted.until
            late = wanted.since is not None and ended is not None and ended < wanted.since
            return not (early or late)

        plan = self.first["plan"]
        texts = (
            (wanted.part, self.first["part"]),
            (wanted.customer, self.first["customer"]),
            (wanted.procedure, plan["title"]),
        )
        if any(asked is not None and asked.casefold() not in text.casefold() for asked, text in texts):
            return False
        if wanted.revision is not None and wanted.revision != plan["revision"]:
            return False
        if wanted.person is not None and wanted.person.casefold() not in self.people():
            return False
        if wanted.is_open and self.ended is not None:
            return False
        word = wanted.deviation
        if word is not None and not any(word.casefold() in words for words in self.deviations()):
            return False
        if wanted.tank is None:
            return under_way(self.began, self.ended)
        return any(tank == wanted.tank and under_way(entered, left) for tank, entered, left, _ in self.runs)


@pytest.fixture(scope="module")
def scanned(mill: Mill) -> list[Scanned]:
    """Every batch, the newest first."""
    return [Scanned(path) for path in sorted(mill.logs.glob("*/journal.jsonl"), reverse=True)]


def test_the_sample_has_batches_of_every_sort(mill: Mill, scanned: list[Scanned]) -> None:
    """Else the questions below would prove nothing."""
    outcomes = {one.outcome for one in search(mill.logs, Wanted()).batches}
    assert {"released", "abandoned", "in a step"} <= outcomes
    assert any(one.deviations() for one in scanned)
    assert not all(one.deviations() for one in scanned)
    assert {one.first["plan"]["revision"] for one in scanned} == {"A", "B"}


_DAYS = st.integers(from_rfc3339("2025-12-30T00:00:00.000Z"), from_rfc3339("2026-06-01T00:00:00.000Z"))
_WORDS = st.one_of(
    st.sampled_from(["", "c", "irons", "RING", "µ", "'", '"', "%", "_", "zz", "dip", "LONG"]), st.text()
)


def _maybe(strategy: st.SearchStrategy[str]) -> st.SearchStrategy[str | None]:
    return st.one_of(st.none(), strategy)


_WANTED = st.builds(
    Wanted,
    since=_maybe(_DAYS.map(rfc3339)),
    until=_maybe(_DAYS.map(rfc3339)),
    customer=_maybe(st.one_of(_WORDS, st.sampled_from(CUSTOMERS))),
    part=_maybe(st.one_of(_WORDS, st.sampled_from(PARTS))),
    procedure=_maybe(_WORDS),
    revision=_maybe(st.sampled_from(["A", "B", "b", ""])),
    person=_maybe(st.sampled_from(["otto", "Otto Demo", "CLEO DEMO", "cleo", "olive", "nobody", ""])),
    tank=_maybe(st.sampled_from(["dip", "nickel", "none", "' OR 1=1 --"])),
    deviation=_maybe(st.one_of(_WORDS, st.sampled_from(REASONS), st.sampled_from(["hoist", "overstayed"]))),
    is_open=st.booleans(),
    now=st.just(NOW),
)


@given(_WANTED)
@example(Wanted(person="", now=NOW))  # who only walked has no name; that is nobody's name
@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
def test_every_question_is_answered_as_a_scan_of_the_journals_answers_it(
    mill: Mill, scanned: list[Scanned], wanted: Wanted
) -> None:
    """Filters together narrow; texts are data, whatever stands in them; the newest name comes first."""
    assert [one.batch for one in search(mill.logs, wanted).batches] == [
        one.name for one in scanned if one.fits(wanted)
    ]


@pytest.mark.parametrize(
    "one_filter",
    [
        {"customer": "ring & sons"},
        {"part": "BELL"},
        {"person": "Cleo Demo"},
        {"tank": "nickel", "since": "2026-02-01T00:00:00.000Z", "until": "2026-03-01T00:00:00.000Z"},
        {"deviation": "hoist"},
        {"deviation": ""},
        {"is_open": True},
        {"revision": "B"},
        {"procedure": "long dip"},
    ],
    ids=str,
)
def test_each_filter_finds_some_and_leaves_some(
    mill: Mill, scanned: list[Scanned], one_filter: dict[str, Any]
) -> None:
    """No filter is a blank, and each answer is the scan's."""
    wanted = Wanted(now=NOW, **one_filter)
    found = [one.batch for one in search(mill.logs, wanted).batches]
    assert found == [one.name for one in scanned if one.fits(wanted)]
    assert 0 < len(found) < len(scanned)


def test_what_went_through_a_tank_is_told_with_its_times(mill: Mill, scanned: list[Scanned]) -> None:
    """Every stay, with who lifted or entered it, in the order of entry."""
    wanted = Wanted(tank="dip", since="2026-02-01T00:00:00.000Z", until="2026-03-01T00:00:00.000Z", now=NOW)
    told = [(run.batch, run.entered, run.left or None) for run in search(mill.logs, wanted).runs]
    expected = [
        (one.name, entered, left)
        for one in scanned
        for tank, entered, left, _ in one.runs
        if tank == "dip" and entered < (wanted.until or "") and (left is None or left >= (wanted.since or ""))
    ]
    assert told == sorted(expected, key=lambda run: (run[1], run[0]))
    assert told


def test_fields_are_those_of_the_journal(mill: Mill, scanned: list[Scanned]) -> None:
    """Each batch's own line 1, last line and record."""
    listed = search(mill.logs, Wanted()).batches
    assert len(listed) == len(scanned) == 60
    for one, told in zip(listed, scanned, strict=True):
        plan = told.first["plan"]
        assert (one.part, one.customer) == (told.first["part"], told.first["customer"])
        assert (one.procedure, one.revision) == (plan["title"], plan["revision"])
        assert one.procedure_sha256 == plan["procedure_sha256"]
        assert (one.opened, one.ended or None) == (told.began, told.ended)
        assert one.opened_by == told.first["by"]["name"]
        assert one.status == ("sealed" if told.ended else "open")
        assert one.deviations == len(told.deviations())
        assert (one.record_sha256 == "") == (told.ended is None)


def test_overdue_is_what_is_open_and_late(mill: Mill) -> None:
    """An open batch is overdue from its due time on, and never before it."""
    opened = search(mill.logs, Wanted(is_open=True)).batches
    assert opened
    for one in opened:
        for moment, late in ((one.due, False), (rfc3339(from_rfc3339(one.due) + 1), True)):
            overdue = search(mill.logs, Wanted(overdue=True, now=moment)).batches
            assert (one.batch in {found.batch for found in overdue}) is late


def test_a_rack_in_the_dip_is_due_at_the_dips_longest_time(tmp_path: Path) -> None:
    """60 s after it went in, by the route; a lifted one 45 s after it came out."""
    made = Mill(tmp_path / "shop")
    batch = made.open()
    while made.follow(batch) != "enter":
        pass
    entered = made.now.at_ms
    assert _due(made, batch) == rfc3339(entered + 60_000)
    while made.follow(batch) != "lift":
        pass
    assert _due(made, batch) == rfc3339(made.now.at_ms + 45_000)
    made.close()


def _due(mill: Mill, batch: str) -> str:
    (one,) = search(mill.logs, Wanted()).batches
    assert one.batch == batch
    return one.due


def test_names_sort_by_their_number(tmp_path: Path) -> None:
    """2026-10000 comes after 2026-9999, though its text sorts before."""
    for name in ("2026-9999", "2026-10000", "2025-0001"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "journal.jsonl").write_bytes(b"spoilt")
    found = search(tmp_path, Wanted()).batches
    assert [one.batch for one in found] == ["2026-10000", "2026-9999", "2025-0001"]
    assert {one.status for one in found} == {"unread"}
    assert all("does not prove" in one.outcome for one in found)


def test_an_answer_is_the_same_from_memory_and_from_the_disk(shop: Path) -> None:
    """A first question, a second one, and one on a folder that holds no index."""
    wanted = Wanted(deviation="", now=NOW)
    first = search(shop / "logs", wanted)
    assert asdict(search(shop / "logs", replace(wanted))) == asdict(first)
