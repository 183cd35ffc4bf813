"""Finish codes read, written, and refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.faults import InputFault
from runner.plating.finish import BASES, METALS, TYPE_LETTERS, Finish, Layer, read_finish, write_finish

types = {
    name: [None] + [row.word for row in TYPE_LETTERS if row.symbol == symbol]
    for symbol, name in METALS.items()
}
layers = st.sampled_from(sorted(METALS.values())).flatmap(
    lambda metal: st.builds(
        Layer,
        metal=st.just(metal),
        thickness_um=st.floats(0.001, 5000) | st.integers(1, 500).map(float),
        type=st.sampled_from(types[metal]),
    )
)
finishes = st.builds(
    Finish,
    basis=st.sampled_from(sorted(BASES.values())),
    layers=st.lists(layers, min_size=1, max_size=6).map(tuple),
)


@given(finishes)
def test_a_finish_written_is_read_back_the_same(finish: Finish) -> None:
    """Every basis, metal, thickness and letter survives the round trip."""
    assert read_finish(write_finish(finish)) == finish


@given(st.text(max_size=40) | st.text("FeZnCuAlNiCr/ 0123456789.bdpsmrca", max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text brings anything but a finish or an input fault."""
    try:
        finish = read_finish(text)
    except InputFault:
        return
    assert read_finish(write_finish(finish)) == finish


@pytest.mark.parametrize(
    ("written", "canonical"),
    [
        ("Fe/Cu20a/Ni30d/Cr mp", "Fe/Cu20a/Ni30d/Cr mp"),
        ("Fe/Ni35d Cr mp", "Fe/Ni35d/Cr mp"),
        ("  Zn / Cu5   Ni35d Cr r ", "Zn/Cu5/Ni35d/Cr r"),
        ("Fe/Ni20b/Cr0.30r", "Fe/Ni20b/Cr r"),
        ("Fe/Ni20b/Cr0.8mc", "Fe/Ni20b/Cr0.8 mc"),
        ("Fe/Ni12.50s", "Fe/Ni12.5s"),
        ("Fe/Zn12", "Fe/Zn12"),
        ("Fe/Cr25", "Fe/Cr25"),
    ],
)
def test_one_finish_has_one_spelling(written: str, canonical: str) -> None:
    """Strokes and spaces are read alike and written in one way."""
    assert write_finish(read_finish(written)) == canonical


@pytest.mark.parametrize(
    ("code", "message"),
    [
        ("", "no basis metal"),
        ("Ni20b Cr r", "no basis metal"),
        ("PL/Cu15a/Ni20b/Cr r", "plastics follow ISO 4525"),
        ("Mg/Ni20b", "no basis metal known here; begin with one of Fe"),
        ("Fe/", "a stroke with no layer"),
        ("Fe/Ni20b/", "a stroke with no layer"),
        ("Fe/Ni20b//Cr r", "is no layer"),
        ("Fe/Ni", "Ni has no thickness; write it in µm after the symbol, as Ni20"),
        ("Fe/Ni0b", "give one above zero"),
        ("Fe/Ni20x", "Ni has no type 'x'; give one of b"),
        ("Fe/Cu20b", "Cu has no type 'b'; give one of a"),
        ("Fe/Zn12b", "leave the letter out after Zn"),
        ("Fe/Pt2", "is no layer; give a symbol of Ni"),
        ("Fe/Ni-20b", "is no layer"),
        ("Fe/Ni20,5b", "is no layer"),
        ("Fe/Ni\u0662\u0660b", "is no layer"),
        ("Fe/Ni" + "9" * 400 + "b", "give one above zero"),
        ("fe/Ni20b", "no basis metal known here"),
    ],
)
def test_a_code_that_cannot_be_read_says_what_to_write(code: str, message: str) -> None:
    """Each refusal names the part at fault and the remedy."""
    with pytest.raises(InputFault, match=message):
        read_finish(code)


def test_a_hostile_code_is_shown_without_its_controls() -> None:
    """Escapes in a code never reach a terminal through the message."""
    with pytest.raises(InputFault) as caught:
        read_finish("Fe/\x1b]0;x\x07Ni20b")
    assert "\x1b" not in str(caught.value)
    assert "\x07" not in str(caught.value)


def test_a_finish_of_unknown_parts_has_no_code() -> None:
    """A metal or word without a symbol is an error of ours, not of input."""
    with pytest.raises(ValueError, match="no symbol for 'iridium'"):
        write_finish(Finish("steel", (Layer("iridium", 1, None),)))
    with pytest.raises(ValueError, match="no symbol"):
        write_finish(Finish("steel", (Layer("nickel", 1, "shiny"),)))
