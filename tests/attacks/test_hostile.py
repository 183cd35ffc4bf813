"""Bytes and names made to choke a reader or to reach a terminal: the answer is no, in words, in good time."""

from __future__ import annotations

import copy
import os
import random
import shutil
import time
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from runner.record.lines import Line, dump, signed_bytes, unsigned_bytes
from runner.record.verify import verify
from support.cli import program, raw_controls
from support.forger import edited, later, named, raw_lines, read, told
from support.saying import Found, Made, Proved
from support.works import DEVIATING, FRESH, OPEN, SEALED, Works

JOURNAL = "journal.jsonl"
HEAD = b'{"seq":2,"at":"2026-01-01T10:40:00.000Z","boot":"boot-1","up":1,"kind":"note-written","data":'


def _data(value: bytes) -> bytes:
    """A second line whose data holds a value as it is given."""
    return HEAD + b'{"step":0,"text":' + value + b'},"who":"otto","prev":"' + b"0" * 64 + b'"}\n'


HOSTILE: dict[str, bytes] = {
    "a key twice": b'{"seq":2,"seq":2,"kind":"note-written"}\n',
    "a key twice in data": _data(b'"a","text":"b"'),
    "not a number": _data(b"NaN"),
    "infinity": _data(b"Infinity"),
    "a number beyond all": _data(b"1e999"),
    "minus zero for a text": _data(b"-0.0"),
    "an integer of 300 digits": _data(b"9" * 300),
    "an integer of 5000 digits": _data(b"9" * 5000),
    "nested 100 deep": _data(b"[" * 100 + b"]" * 100),
    "nested 100000 deep": _data(b"[" * 100_000 + b"]" * 100_000),
    "nested and not closed": _data(b'{"a":' * 100_000),
    "half a character": _data(rb'"\ud800"'),
    "a character in capitals": _data(rb'"\u00E4"'),
    "a character as it is": _data('"ä"'.encode()),
    "no UTF-8": _data(b'"\xff\xfe"'),
    "a null byte": _data(b'"\x00"'),
    "an escaped null": _data(rb'"\u0000"'),
    "a slash escaped": _data(rb'"\/"'),
    "blanks": b" " + _data(b'"a"'),
    "a mark of byte order": b"\xef\xbb\xbf" + _data(b'"a"'),
    "no object": b"[]\n",
    "a text": b'"line"\n',
    "an empty line": b"\n",
    "true for a number": b'{"seq":true}\n',
    "a fraction for a number": b'{"seq":2.0}\n',
    "a line of 5 MB": _data(b'"' + b"a" * 5_000_000 + b'"'),
    "a carriage return": _data(b'"a"')[:-1] + b"\r\n",
    "no newline": _data(b'"a"')[:-1],
}


@pytest.mark.timeout(30)
@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_line_is_found_where_it_stands(works: Works, found: Found, name: str) -> None:
    """Found at line 2, in a batch's journal and in the shop's."""
    line = HOSTILE[name]
    for file, batch in ((works.batch(FRESH) / JOURNAL, FRESH), (works.logs / "shop.jsonl", "shop.jsonl")):
        before = file.read_bytes()
        first = raw_lines(file)[0]
        file.write_bytes(first + line)
        findings = found(works.folder, batch)
        assert {f"{batch} line 2"} & {one.where for one in findings}
        file.write_bytes(before)


FIGURES = (0, -1, 1e308, -1e308, 5e-324, 10**300, -(10**300), 10**308, 1e160, -1e160, 1e-300)
WILD: tuple[Any, ...] = (*FIGURES, None, "", [], True, 2**53)


def _spoilt(data: Any, rng: random.Random) -> Any:
    """Data with one leaf put in another's place; a figure most often, by a figure."""
    data = copy.deepcopy(data)
    leaves = list(_leaves(data))
    figures = [leaf for leaf in leaves if type(leaf[0][leaf[1]]) in {int, float}]
    within, key = rng.choice(figures or leaves) if rng.random() < 0.8 else rng.choice(leaves)
    within[key] = rng.choice(FIGURES if (within, key) in figures else WILD)
    return data


def _leaves(value: Any) -> Iterator[tuple[Any, Any]]:
    """Where each leaf of plain data stands: what holds it, and its key there."""
    for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
        if isinstance(inner, dict | list) and inner:
            yield from _leaves(inner)
        else:
            yield value, key


@pytest.mark.parametrize("seed", range(8))
def test_a_plan_of_wild_figures_ends_in_no_trace(works: Works, forger: Made, seed: int) -> None:
    """Whatever a plan says that its opener signs, walked to its end: the answer comes in words.

    Most are found; some are plans that nobody would walk, and no fault of the record's.
    """
    everybody = forger("otto", "cleo")
    sound = read(everybody.journal(DEVIATING))
    plan = sound[0].data["plan"]
    rng = random.Random(seed)  # noqa: S311  # a repeatable choice, no secret
    for _ in range(40):
        wild = plan
        for _ in range(rng.choice((1, 1, 2, 4))):
            wild = _spoilt(wild, rng)
        everybody.rewrite(DEVIATING, [edited(sound[0], plan=wild), *sound[1:]])
        verify(works.batch(DEVIATING))


@pytest.mark.parametrize("seed", range(4))
def test_facts_of_wild_figures_end_in_no_trace(works: Works, forger: Made, seed: int) -> None:
    """The same of every fact after the plan."""
    everybody = forger("otto", "cleo")
    sound = read(everybody.journal(SEALED))
    rng = random.Random(seed)  # noqa: S311  # a repeatable choice, no secret
    for _ in range(40):
        at = rng.randrange(1, len(sound))
        data = _spoilt(sound[at].data, rng)
        if data == sound[at].data:
            continue
        lines = [
            *sound[:at],
            Line(1, sound[at].moment, sound[at].kind, data, sound[at].who, "", "AAAA"),
            *sound[at + 1 :],
        ]
        everybody.rewrite(SEALED, lines)
        assert not verify(works.batch(SEALED)).ok


def test_minus_zero_is_a_figure_like_another(works: Works, forger: Made, verdict: Proved) -> None:
    """No attack: -0.0 has one spelling in a line and one in the record; nothing reads two things in it."""
    facts = [(one.kind, one.data, 30.0) for one in read(works.batch(SEALED) / JOURNAL)[1:6]]
    reading = ("current-read", {"step": 2, "amps": -0.0, "in_tank_dm2": None}, 1.0)
    raised = {"number": 1, "step": 2, "what": "outside its window", "detail": "no current"}
    forger("otto").by_hand(FRESH, "otto", *facts, reading, ("deviation-raised", raised, 0.0))
    assert verdict(works.folder).ok


ESCAPE = "\x1b]0;owned\x07\x1b[2J\u202egnp\r\n[bold]"


def test_texts_that_would_steer_a_terminal_are_shown_harmlessly(works: Works, forger: Made) -> None:
    """A person, a batch, a reason and a kind that hold escapes: every one of them comes out as its codes."""
    otto = forger("otto")
    lines = read(otto.journal(FRESH))
    by = named(works.people["otto"], name=ESCAPE, role=ESCAPE)
    for line in (
        edited(lines[0], batch=ESCAPE, by=by),
        edited(lines[0], mode=ESCAPE),
        edited(lines[0], **{ESCAPE: 1}),
        told("batch-taken", {"by": by}, works.people["otto"], later(lines[0], 1)),
        told(
            "deviation-raised",
            {"number": 9, "step": 0, "what": ESCAPE, "detail": ""},
            works.people["otto"],
            later(lines[0], 1),
        ),
    ):
        opened = line.kind == "batch-opened"
        otto.rewrite(FRESH, [line] if opened else [lines[0], line])
        for options in ([], ["--json"]):
            ran = program("verify", str(works.folder), *options, cwd=works.folder)
            assert (ran.status, ran.err) == (1, "")
            assert not raw_controls(ran.out)


NAMES = {
    "a newline": b"2026-0007\nNO",
    "an escape": b"\x1b[31m2026",
    "no UTF-8": b"2026-\xff\xfe",
    "markup": b"[bold red]2026",
    "right to left": "2026\u202e7000".encode(),
    "a blank": b" ",
    "dots": b"...",
    "as long as can be": b"2" * 255,
    "an option": b"--json",
}


@pytest.mark.parametrize("name", NAMES)
def test_a_folder_of_a_hostile_name_is_found_and_shown_harmlessly(works: Works, name: str) -> None:
    """Found as a batch that nobody knows, by the real program, as words and as JSON."""
    bad = os.path.join(os.fsencode(works.logs), NAMES[name])  # noqa: PTH118  # a name that is no text
    shutil.copytree(works.batch(SEALED), os.fsdecode(bad))
    words = program("verify", bad, cwd=works.folder)
    ran = program("verify", "--json", os.fsencode(works.folder), cwd=works.folder)
    for one in (words, ran):
        assert (one.status, one.err) == (1, "")
        assert not raw_controls(one.out)
    document = ran.json()
    assert document["ok"] is False
    assert any("does not know" in one["what"] for one in document["findings"])


PLACES: dict[str, Callable[[Works], Path | str]] = {
    "up and down again": lambda works: works.logs / ".." / "logs" / SEALED,
    "through another batch": lambda works: works.batch(OPEN) / ".." / SEALED,
    "a file in it": lambda works: works.batch(SEALED) / "record.toml",
    "a slash too many": lambda works: f"{works.batch(SEALED)}//",
}


@pytest.mark.parametrize("name", PLACES)
def test_a_batch_by_another_path_is_the_same_batch(works: Works, verdict: Proved, name: str) -> None:
    """No attack: what is proved is the folder that a path leads to, under its own name."""
    came = verdict(Path(PLACES[name](works)))
    assert (came.ok, came.batches[0].batch) == (True, SEALED)


def test_a_batch_through_a_link_elsewhere_is_found(works: Works, found: Found, tmp_path: Path) -> None:
    """Found: a folder that is a link is no batch's folder, whatever it is called."""
    for target in (tmp_path / SEALED, works.logs / "2026-0099"):
        target.symlink_to(works.batch(SEALED))
        found(target, "", "its folder is a link")


def _newlines(file: Path) -> None:
    file.write_bytes(b"\n" * 60_000_000)


def _one_line(file: Path) -> None:
    file.write_bytes(b"{" * 60_000_000)


def _rubbish(file: Path) -> None:
    file.write_bytes(random.Random(1).randbytes(8_000_000))  # noqa: S311  # any bytes will do


def _same_line(file: Path) -> None:
    file.write_bytes(raw_lines(file)[-1] * 4_000)


@pytest.mark.timeout(60)
@pytest.mark.parametrize("fill", [_newlines, _one_line, _rubbish, _same_line])
@pytest.mark.parametrize("name", ["shop.jsonl", "2026-0001/journal.jsonl", "2026-0001/record.toml"])
def test_a_huge_file_costs_bounded_time_and_memory(
    works: Works, name: str, fill: Callable[[Path], None]
) -> None:
    """Found within seconds, and with a few times the file's own bytes in memory."""
    file = works.logs / name
    fill(file)
    tracemalloc.start()
    began = time.process_time()
    came = verify(works.folder)
    spent_s = time.process_time() - began
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert not came.ok
    assert spent_s < 30  # tracing makes it several times slower than it is
    assert most < 5 * file.stat().st_size + 100_000_000


def test_a_sound_line_has_one_form_only(works: Works) -> None:
    """What the attacks change is what the program wrote: dumping the lines gives the journal's bytes."""
    file = works.batch(SEALED) / JOURNAL
    lines = read(file)
    assert b"".join(map(dump, lines)) == file.read_bytes()
    for raw, line in zip(raw_lines(file), lines, strict=True):
        assert signed_bytes(raw, line) == unsigned_bytes(line)
