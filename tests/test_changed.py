"""Changed copies of frozen dataclasses, held to the standard library's `dataclasses.replace`."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.changed import changed


@dataclass(frozen=True, slots=True)
class Rack:
    """A few fields of different kinds."""

    name: str
    pieces: int
    hooks: tuple[str, ...] = ()
    note: str | None = None


RACKS = st.builds(Rack, st.text(), st.integers(), st.lists(st.text()).map(tuple), st.none() | st.text())
CHANGES = st.fixed_dictionaries(
    {}, optional={"name": st.text(), "pieces": st.integers(), "hooks": st.just(()), "note": st.none()}
)


@given(RACKS, CHANGES)
def test_the_standard_library_copies_the_same(rack: Rack, changes: dict[str, Any]) -> None:
    """Whatever is changed, None and empty values too, the copy is that of `dataclasses.replace`."""
    before = replace(rack)
    assert changed(rack, **changes) == replace(rack, **changes)
    assert rack == before


def test_a_field_that_the_class_does_not_have_is_refused() -> None:
    """A change is never dropped in silence."""
    with pytest.raises(TypeError, match="Rack has no peaces"):
        changed(Rack("one", 4), peaces=5)
