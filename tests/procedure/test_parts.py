"""Parts of routes: taken in by name, read as if written there, and never a way round an approval."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.faults import InputFault
from runner.procedure.reading import load_procedure, parse_procedure
from support.shops import ROUTE, small_shop

RINSE = 'format = 1\n\n[[step]]\nname = "Rinse again"\ndoes = "rinse"\ntank = "rinse-1"\n'


def route(folder: Path, steps: str, **parts: str) -> Path:
    """A route's file with these steps behind its own, and its parts beside it."""
    (folder / "parts").mkdir(exist_ok=True)
    for name, text in parts.items():
        (folder / "parts" / f"{name}.toml").write_text(text, encoding="utf-8")
    file = folder / "route.toml"
    file.write_text(f"{ROUTE}\n{steps}", encoding="utf-8")
    return file


def including(name: str) -> str:
    """A step that takes a part in."""
    return f'[[step]]\ninclude = "{name}"\n'


def faults(file: Path) -> list[str]:
    """What is wrong with a route."""
    with pytest.raises(InputFault) as wrong:
        load_procedure(file, small_shop())
    return [str(fault) for fault in wrong.value.faults]


def test_a_part_is_read_as_if_it_were_written_there(tmp_path: Path) -> None:
    """Twice, with a step between: numbers run on through parts."""
    plain = len(load_procedure(route(tmp_path, ""), small_shop()).steps)
    between = RINSE.removeprefix("format = 1\n\n").replace("again", "between")
    file = route(tmp_path, including("again") + between + including("again"), again=RINSE)
    steps = load_procedure(file, small_shop()).steps[plain:]
    assert [step.name for step in steps] == ["Rinse again", "Rinse between", "Rinse again"]
    assert [step.number for step in steps] == [plain + 1, plain + 2, plain + 3]


def test_a_parts_text_belongs_to_the_routes_hash(tmp_path: Path) -> None:
    """Whoever changes a part changes every route that takes it in."""
    file = route(tmp_path, including("again"), again=RINSE)
    before = load_procedure(file, small_shop()).source
    assert "Rinse again" in before.text
    route(tmp_path, including("again"), again=RINSE + "# a word\n")
    after = load_procedure(file, small_shop()).source
    assert before.sha256 != after.sha256


def test_a_part_may_take_in_a_part(tmp_path: Path) -> None:
    """One inside the other."""
    file = route(tmp_path, including("outer"), outer="format = 1\n" + including("again"), again=RINSE)
    assert load_procedure(file, small_shop()).steps[-1].name == "Rinse again"


def test_a_loop_is_told_with_its_way(tmp_path: Path) -> None:
    """A takes in b takes in a."""
    a, b = ("format = 1\n" + including(name) for name in ("b", "a"))
    (told,) = faults(route(tmp_path, including("a"), a=a, b=b))
    assert "a takes in b takes in a" in told
    assert "parts/b.toml:3" in told


def test_a_missing_part_is_told_with_the_nearest_name(tmp_path: Path) -> None:
    """File, line, step, and what might be meant."""
    file = route(tmp_path, including("agian"), again=RINSE)
    (told,) = faults(file)
    assert 'there is no part "agian"' in told
    assert 'use "again"' in told
    assert told.startswith(f"{file}:")


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ('[[step]]\ninclude = "again"\nname = "x"\n', "stands alone"),
        ("[[step]]\ninclude = 3\n", "no name of a part"),
        ('[[step]]\ninclude = "../../etc/passwd"\n', "no name of a part"),
        ('[[step]]\ninclude = ""\n', "no name of a part"),
    ],
)
def test_an_include_that_is_none(tmp_path: Path, step: str, words: str) -> None:
    """More keys, no text, a way out of the folder, nothing."""
    assert any(words in told for told in faults(route(tmp_path, step, again=RINSE)))


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("format = 1\n", "there are no steps"),
        ('[[step]]\nname = "x"\n', '"format" is missing'),
        (RINSE.replace('"rinse"\ntank', '"rinze"\ntank'), "rinze"),
        (RINSE.replace('tank = "rinse-1"', 'tank = "nowhere"'), "nowhere"),
        ("\x1b[2J", "parts/bad.toml:1"),
    ],
)
def test_a_bad_part_is_told_in_its_own_file(tmp_path: Path, part: str, words: str) -> None:
    """Without steps, without a format, with a wrong word, with an unknown tank, with an escape."""
    told = faults(route(tmp_path, including("bad"), bad=part))
    assert any(words in one for one in told)
    assert any("parts/bad.toml" in one for one in told)


def test_parts_deeper_than_anybody_follows_are_refused(tmp_path: Path) -> None:
    """Nine inside each other."""
    parts = {f"p{n}": "format = 1\n" + including(f"p{n + 1}") for n in range(12)}
    assert any("over 8 deep" in told for told in faults(route(tmp_path, including("p0"), **parts)))


def test_a_text_without_a_folder_has_no_parts() -> None:
    """There is nowhere to look."""
    with pytest.raises(InputFault, match="beside a route's file"):
        parse_procedure(ROUTE + "\n" + including("again"), small_shop())
