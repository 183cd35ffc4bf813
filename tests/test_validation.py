"""Errors of the validation library become faults in plain sentences, with the nearest name that is known."""

from __future__ import annotations

from typing import Annotated

import pytest
from pydantic import Field

from runner.faults import InputFault
from runner.fields import Line, Sentence, Table, choose, found, listed, one_of
from runner.toml_file import parse
from runner.validation import Reading


class Inner(Table):
    """A table in a table."""

    word: Annotated[str, one_of(("red", "green"), "a colour")] = Field(examples=['"red"'])
    size: int = 1


class Outer(Table):
    """A table of a file."""

    format: int
    name: Line | None = None
    note: Sentence | None = None
    inner: Inner | None = None
    many: Annotated[tuple[Inner, ...], Field(strict=False)] = ()
    flag: bool = False


def told(body: str) -> list[str]:
    """All that is said of a file that begins with its format."""
    reading = Reading(parse(f"format = 1\n{body}\n".encode(), "f.toml"))
    with pytest.raises(InputFault) as caught:
        reading.finish(reading.table(Outer, reading.document.data))
    return [str(fault) for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("nme = 1", 'f.toml:2: unknown key "nme"; use "name" if that is meant, else one of "format", "name"'),
        (
            'inner = { word = "red", sise = 1 }',
            'f.toml:2: inner: unknown key "sise"; use "size" if that is meant, else one of',
        ),
        ("inner = { size = 1 }", 'f.toml:2: inner: "word" is missing; write word = "red"'),
        (
            "inner = 3",
            'f.toml:2: inner: the number 3 stands where a table is needed; write it as { word = "red" }',
        ),
        ('inner = { word = "reed" }', 'f.toml:2: inner, word: "reed" is not a colour; use "red" if that is'),
        (
            'inner = { word = "blue" }',
            'f.toml:2: inner, word: "blue" is not a colour; use one of "red", "green"',
        ),
        (
            "inner = { word = 1979-05-27 }",
            "f.toml:2: inner, word: a date or time stands where a colour is need",
        ),
        ('many = [\n{ word = "red" },\n{},\n]', 'f.toml:4: many 2: "word" is missing; write word = "red"'),
        ("many = { }", "f.toml:2: many: a table stands where a list is needed; write it in square brackets"),
        (
            "flag = 1",
            "f.toml:2: flag: the number 1 stands where true or false is needed; write true or false",
        ),
        ("name = true", "f.toml:2: name: true stands where a text is needed; write it in quotes"),
        ('name = ""', "f.toml:2: name: an empty text; write something, or take the key out"),
        ('name = "a\\tb"', "f.toml:2: name: a line break or tab in a name; write it on one line"),
        # A kind of error that the table of sentences does not know still says what stands there.
        (
            'inner = { word = "red", size = "x" }',
            'f.toml:2: inner, size: the text "x" stands where something else is needed; compare it with an',
        ),
    ],
)
def test_each_kind_of_error_is_a_sentence(body: str, expected: str) -> None:
    """What stands there, what was needed, what to do."""
    (said,) = told(body)
    assert said.startswith(expected)


def test_a_sentence_may_run_over_lines() -> None:
    """A name may not; both lose the blanks around them."""
    read = Outer.model_validate({"format": 1, "name": " Nickel ", "note": "one\n\ttwo\n"})
    assert (read.name, read.note) == ("Nickel", "one\n\ttwo")


def test_a_table_that_reads_is_handed_back() -> None:
    """Without a fault nothing is raised."""
    reading = Reading(parse(b'format = 1\nname = "Nickel"\n', "f.toml"))
    assert reading.finish(reading.table(Outer, reading.document.data)).name == "Nickel"


def test_nothing_is_judged_in_another_format() -> None:
    """A later version may give every key another meaning."""
    with pytest.raises(InputFault) as caught:
        Reading(parse(b"nme = 1\nformat = 3\n", "f.toml"))
    (fault,) = caught.value.faults
    assert fault.line == 2
    assert fault.message.endswith("was made by a later version; this one reads format 1")
    assert fault.remedy == "use the later version of this program"


def test_faults_come_in_the_order_of_lines() -> None:
    """Whatever order they were found in."""
    said = told("flag = 1\ninner = 3\nnme = 1")
    assert [line.split(":")[1] for line in said] == ["2", "3", "4"]


def test_the_nearest_name_is_found_in_any_case() -> None:
    """Capitals are the commonest slip."""
    assert (
        choose("NICKEL", ["zinc", "nickel"]) == 'use "nickel" if that is meant, else one of "zinc", "nickel"'
    )
    assert choose("nickel", ["Zinc", "Nickel"]).startswith('use "Nickel" if')


def test_no_name_may_be_known_yet() -> None:
    """An empty list says so."""
    assert choose("R1", []) == "write it first: there is none yet"


def test_names_are_shown_safely() -> None:
    """Escapes become visible codes, long names and long lists are cut."""
    assert listed(["a\x1b[2J"]) == '"a<U+001B>[2J"'
    assert listed(["n" * 100]) == f'"{"n" * 59}…"'
    assert listed(map(str, range(45))).endswith('"39", and 5 more')


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (True, "true"),
        ("", "an empty text"),
        ("x\x9b", 'the text "x<U+009B>"'),
        (10**100, f"the number 1{'0' * 58}…"),
        (float("nan"), "the number nan"),
        ([], "a list"),
        ({}, "a table"),
    ],
)
def test_what_stands_in_a_file_is_named(value: object, said: str) -> None:
    """As a reader would name it."""
    assert found(value) == said
