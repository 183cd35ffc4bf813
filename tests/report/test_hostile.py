"""Text that would be more than text: nothing of a file or a person becomes markup, a command or an escape."""

from __future__ import annotations

import json
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from runner.record.lines import Line
from runner.record.report.certificate import refusal
from runner.record.report.material import Material, gather
from runner.record.report.pages import certificate_html, report_html
from support.cli import raw_controls
from support.forger import chained, later, named, read, told, write
from support.journals import moment
from support.pages import Page
from support.works import SEALED, Works

HOSTILE = {
    "script": "<script>alert(1)</script>",
    "image": '"><img src=x onerror=alert(1)>',
    "attribute": "' onmouseover='alert(1)",
    "template": "{{7*7}}{% for x in y %}{# z #}",
    "style": "</style><style>*{display:none}</style>",
    "comment": "<!-- --><!DOCTYPE html>",
    "entity": "&lt;b&gt;&amp;",
    "link": "<a href=https://example.org/>x</a>",
    "svg": "<svg onload=alert(1)>",
}
"""Each must be read on the page as it was written."""

CONTROLS = {"escape": "\x1b[31mred\x1b]0;title\x07", "order": "\u202edesrever\u2066", "c1": "\x9b2J"}
"""Each must be read with its control characters named."""

CLOSED = frozenset({"kind", "mode", "units", "follows", "polarity", "when", "reads", "sign", "meaning"}) | {
    *("disposition", "id", "role", "where"),
}
"""Keys whose value is a word of ours: with any other the line is none."""


def spoilt(value: Any, text: str, key: str = "") -> Any:
    """Plain data with every free text in it replaced, a choice and those that it is among alike."""
    if isinstance(value, dict):
        return {name: spoilt(inner, text, name) for name, inner in value.items()}
    if isinstance(value, list):
        return [spoilt(inner, text, key) for inner in value]
    return text if isinstance(value, str) and key not in CLOSED else value


def hostile(works: Works, text: str) -> Path:
    """A sealed batch whose every free text is that one, with a note, a deviation and its settlement more.

    What is signed no longer stands, so it does not prove; it is printed all the same.
    """
    folder = works.batch(SEALED)
    lines = [
        Line(line.seq, line.moment, line.kind, spoilt(line.data, text), line.who, line.prev, line.sig)
        for line in read(folder / "journal.jsonl")
    ]
    otto, cleo = works.people["otto"], works.people["cleo"]
    at = later(lines[-2], 1)
    more = [
        told("note-written", {"step": 3, "text": text}, otto, at),
        told("deviation-raised", {"number": 1, "step": 3, "what": text, "detail": text}, otto, at),
        told("deviation-explained", {"number": 1, "reason": text}, otto, at),
        told(
            "deviation-settled",
            {"number": 1, "disposition": "reworked", "by": named(cleo, name=text, key=text)},
            cleo,
            at,
        ),
    ]
    write(folder / "journal.jsonl", chained([*lines[:-1], *more, lines[-1]]))
    (folder / "record.toml").write_text(f"part = {json.dumps(text)}\n{text}\n", encoding="utf-8")
    return folder


@pytest.fixture(params=HOSTILE)
def material(request: pytest.FixtureRequest, works: Works) -> tuple[Material, str]:
    """A batch of one hostile text, and that text."""
    text = HOSTILE[request.param]
    return gather(hostile(works, text)), text


def test_the_report_shows_it_as_it_was_written(material: tuple[Material, str]) -> None:
    """In every place: part, customer, shop, procedure, steps, checks, notes, deviations, people, record."""
    read_to, text = material
    page = Page(report_html(read_to, moment()))
    page.harmless()
    for before in ("part", "customer's reference", "title", "revision", "reason", "1.", "designation"):
        assert before in page.text
    assert page.text.count(text) > 25
    assert text in page.title or read_to.folder.name in page.title
    assert "49" not in page.title


def test_the_certificate_shows_it_as_it_was_written(material: tuple[Material, str]) -> None:
    """Though none would be given for this batch, the template is as safe as the other."""
    read_to, text = material
    assert refusal(read_to) is not None
    page = Page(certificate_html(read_to, moment()))
    page.harmless()
    assert page.text.count(text) > 8


@pytest.mark.parametrize("name", CONTROLS)
def test_control_characters_are_named_and_do_nothing(works: Works, name: str) -> None:
    """None is left in the document; a reader sees which it was."""
    read_to = gather(hostile(works, CONTROLS[name]))
    for html in (report_html(read_to, moment()), certificate_html(read_to, moment())):
        page = Page(html)
        page.harmless()
        assert raw_controls(html) == []
        assert f"<U+{ord(CONTROLS[name][0]):04X}>" in page.text


def test_a_name_in_a_command_stays_one_word(works: Works) -> None:
    """Whoever copies the line from a forged record runs ssh-keygen and nothing else."""
    folder = works.batch(SEALED)
    lines = read(folder / "journal.jsonl")
    evil = "cleo; touch /tmp/owned; echo $(id) `id`"
    last = lines[-1]
    by = {**last.data["by"], "id": evil}
    lines[-1] = Line(last.seq, last.moment, last.kind, {**last.data, "by": by}, last.who, last.prev, last.sig)
    write(folder / "journal.jsonl", lines)
    page = Page(report_html(gather(folder), moment()))
    words = shlex.split(page.blocks[0].partition("<")[0])
    assert words[words.index("-I") + 1] == evil
    assert words[0] == "ssh-keygen"


@pytest.mark.parametrize("name", ['x"; } body { display: none', "<script>x", "\x1b[2J", "a\nb", "..."])
def test_the_name_of_a_folder_reaches_no_style(tmp_path: Path, name: str) -> None:
    """It stands at the foot of each sheet only where it is letters, digits and hyphens."""
    folder = tmp_path / name
    folder.mkdir()
    (folder / "journal.jsonl").write_bytes(b"{}\n")
    html = report_html(gather(folder), moment())
    page = Page(html)
    page.harmless()
    assert 'content: "batch"' in page.style
    assert raw_controls(html) == []


def test_a_huge_figure_breaks_no_drawing(works: Works) -> None:
    """A forged plan of 1e300 s is printed; the drawing ends at its edge."""
    folder = works.batch(SEALED)
    lines = read(folder / "journal.jsonl")
    first = lines[0]
    plan = json.loads(json.dumps(first.data["plan"]))
    plan["steps"][0]["dwell_max_s"] = 1e300
    plan["steps"][1]["density_high_a_dm2"] = 1e300
    lines[0] = Line(
        1, first.moment, first.kind, {**first.data, "plan": plan}, first.who, first.prev, first.sig
    )
    write(folder / "journal.jsonl", chained(lines))
    page = Page(report_html(gather(folder), moment()))
    page.harmless()
    widths = [float(value) for tag, name, value in page.attributes if (tag, name) == ("rect", "width")]
    assert widths
    assert max(widths) <= 100


@pytest.mark.parametrize("size", [0, 1])
def test_no_text_is_cut_without_a_mark(works: Works, size: int) -> None:
    """2000 characters stand whole; of more the cut shows."""
    text = "n" * (2000 + size)
    page = Page(report_html(gather(hostile(works, text)), moment()))
    shows = text if size == 0 else "n" * 1999 + "…"
    assert f"customer's reference {shows} basis metal" in page.text


Made = Callable[[Path], Page]


def test_a_record_that_is_no_text_is_shown_as_far_as_it_is(works: Works, printed: Made) -> None:
    """Bytes that are no UTF-8 get the sign for that."""
    (works.batch(SEALED) / "record.toml").write_bytes(b"a = \xff\xfe\n")
    assert "a = \ufffd\ufffd" in printed(works.batch(SEALED)).text
