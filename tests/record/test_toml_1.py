"""The layout of record format 1, held to `tomli_w` in writing and to the standard library in reading."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
import tomli_w
from hypothesis import given
from hypothesis import strategies as st

from runner.record.toml_1 import LONGEST_ROW, toml

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=20) | st.text(
    st.sampled_from('"\\\b\t\n\f\r\x00\x1f\x7f\x80é'), max_size=6
)
NUMBERS = st.integers(-(2**63), 2**63 - 1) | st.floats(allow_nan=False, allow_infinity=False)
KEYS = st.from_regex(r"[a-z][a-z0-9_-]{0,9}", fullmatch=True)
VALUES = TEXTS | NUMBERS | st.lists(TEXTS | NUMBERS, max_size=3)


def tables_of(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Tables of values, tables and lists of tables."""
    tables = st.dictionaries(KEYS, inner, max_size=3)
    return st.dictionaries(KEYS, VALUES | inner | tables | st.lists(tables, max_size=3), max_size=4)


TABLES = tables_of(st.recursive(VALUES, tables_of, max_leaves=6))


@given(TABLES)
def test_the_layout_is_that_of_the_library(table: dict[str, Any]) -> None:
    """Whatever texts, numbers, lists and tables a record holds, `tomli_w` lays it out so, to the byte."""
    assert toml(table) == tomli_w.dumps(table)


@given(TABLES)
def test_the_standard_library_reads_it_back(table: dict[str, Any]) -> None:
    """It is TOML, and says what it was given."""
    assert tomllib.loads(toml(table)) == table


@pytest.mark.parametrize("characters", range(LONGEST_ROW - 30, LONGEST_ROW))
@pytest.mark.parametrize("tables", [1, 2])
def test_a_short_table_stands_on_one_row_and_a_long_one_does_not(characters: int, tables: int) -> None:
    """The lengths about the edge, where one character makes a block of a row."""
    record = {"name": "a", "note": [{"text": "x" * (characters - 14)}, {"text": ""}][:tables]}
    assert toml(record) == tomli_w.dumps(record)


@pytest.mark.parametrize("value", [None, True, (1, 2), b"bytes", {"inner": {1, 2}}])
def test_a_value_that_no_record_holds_is_our_own_fault(value: Any) -> None:
    """Nothing is written that was not foreseen."""
    with pytest.raises(TypeError, match="a record holds no"):
        toml({"value": value})
