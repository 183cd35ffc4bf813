"""Each file of ``bad_input`` has one fault, told on its line in the words that a remark there expects."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.faults import Fault, InputFault
from runner.procedure.reading import check_file
from runner.shop.people import parse_people
from runner.shop.reading import parse_shop
from support.shops import small_shop

FOLDER = Path(__file__).parent / "bad_input"
FILES = sorted(FOLDER.glob("*.toml"))
REMARK = "  # fault: "


def faults_of(file: Path) -> list[Fault]:
    """What is wrong with a file; its name begins with its kind."""
    if file.name.startswith("procedure-"):
        return check_file(file, small_shop())
    parse = parse_shop if file.name.startswith("shop-") else parse_people
    with pytest.raises(InputFault) as caught:
        parse(file.read_text(encoding="utf-8"), str(file))
    return list(caught.value.faults)


@pytest.mark.parametrize("file", FILES, ids=[file.stem for file in FILES])
def test_the_fault_is_told_where_it_stands_with_what_to_do(file: Path) -> None:
    """One fault comes back, with file, line, place and remedy; a remark may cut long lists."""
    lines = file.read_text(encoding="utf-8").split("\n")
    ((number, expected),) = [
        (number, line.split(REMARK)[1]) for number, line in enumerate(lines, 1) if REMARK in line
    ]
    (told,) = faults_of(file)
    assert (told.file, told.line) == (str(file), number)
    said = f"{told.message}; {told.remedy}"
    assert said.startswith(expected.removesuffix("…")) if expected.endswith("…") else said == expected


@pytest.mark.parametrize("kind", ["procedure", "shop", "people"])
def test_there_are_files_of_each_kind(kind: str) -> None:
    """A folder that was not found would make every test above vanish."""
    assert sum(file.name.startswith(f"{kind}-") for file in FILES) >= 5
