"""Booking parts in by keys: what is asked of them, what the rules make of it, and the way past a bar."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.batch.state import BatchState
from support.floors import ROUTE, write_shop
from support.screen import Stage, stage

BRASS = ROUTE.replace("low-carbon steel", "brass")
EITHER = ROUTE.replace('["low-carbon steel"]', '["brass", "high-carbon steel"]')


def a_shop(folder: Path, route: str) -> None:
    """A shop whose one route is this."""
    (write_shop(folder / "shop") / "procedures" / "route.toml").write_text(route, encoding="utf-8")


async def to_plan(s: Stage, **said: str) -> None:
    """Choose the only route and book."""
    await s.press("o")
    await s.sees("which procedure?")
    await s.press("1")
    await s.book(**said)


async def overridden(s: Stage, *reasons: str) -> BatchState:
    """Say why, have the chargehand sign and the operator open; the batch's state."""
    await s.sees("override, then open")
    await s.press("space")
    for reason in reasons:
        await s.sees("Why is the route walked against this rule?")
        await s.type(reason)
        await s.press("enter")
    await s.sees("Override ")
    await s.pin("cleo")
    await s.sees("Open the batch")
    await s.pin("otto")
    await s.sees("batch 2026-0001")
    return s.state("2026-0001")


async def test_what_is_said_of_the_parts_is_shown_and_stands_on_the_first_line(tmp_path: Path) -> None:
    """38 HRC by the table is about 1268 MPa: the hydrogen rules ask for the bake of that row, 12 h."""
    async with stage(tmp_path, size=(120, 60)) as s:
        await to_plan(s, strength="HRC 38", hollow="no", blind="Y")
        await s.sees("steel of 1268 MPa wants 12 h")
        await s.sees("strength: 1268 MPa; closed hollows: no; blind holes: yes")
        state = await overridden(s, "a trial piece", "it goes to the customer's own oven")
    plan = state.opened.plan
    assert plan.strength_mpa == pytest.approx(1268, abs=1)
    assert (plan.hollow, plan.blind) == (False, True)


async def test_an_empty_answer_is_not_known_and_the_rules_say_so(tmp_path: Path) -> None:
    """The doubt stands on the plan and on the first line; it bars nothing."""
    async with stage(tmp_path, size=(120, 60)) as s:
        await to_plan(s, hollow="", blind="")
        await s.sees("nobody has said whether a part has a closed hollow", "Not known: ask the chargehand")
        await s.sees("strength: not known; closed hollows: not known; blind holes: not known")
        state = await overridden(s, "a trial piece")
    assert (state.opened.plan.strength_mpa, state.opened.plan.hollow) == (None, None)
    assert any(one.rule == "hollow-not-known" and one.severity == "doubt" for one in state.opened.findings)


async def test_a_closed_hollow_part_is_refused_and_nobody_is_asked_to_override_it(tmp_path: Path) -> None:
    """The nickel is hot: no PIN is asked, no batch is opened, the foot offers the way back alone."""
    async with stage(tmp_path) as s:
        await to_plan(s, hollow="y")
        await s.sees("DANGER: step 2 (Nickel): a closed hollow part is heated in the tank")
        assert "space" not in s.rows()[-1]
        await s.press("space")
        await s.sees("This route is never walked", "Open a vent and a drain")
        assert "PIN" not in s.text()
        await s.press("escape")
        await s.sees("Closed hollows in it?")
        assert not s.floor.standing()


async def test_the_override_is_the_chargehands_and_the_walk_the_operators(tmp_path: Path) -> None:
    """Reason and signature are the lines after the first; the walk then asks for its first cautions."""
    async with stage(tmp_path) as s:
        await to_plan(s)
        state = await overridden(s, "a trial piece")
        assert [(one.reason, one.by.id) for one in state.overridden] == [("a trial piece", "cleo")]
        assert (state.opened.by.id, state.taken_by.id, state.barred_by) == ("otto", "otto", None)
        await s.press("space")
        await s.sees("Before Dip", "it is so")


@pytest.mark.parametrize("where", ["reason", "override", "open"])
async def test_whoever_goes_back_opens_nothing(tmp_path: Path, where: str) -> None:
    """At the reason, at the chargehand's PIN, at the operator's: the plan stands as before."""
    async with stage(tmp_path) as s:
        await to_plan(s)
        await s.sees("override, then open")
        await s.press("space")
        await s.sees("Why is the route walked against this rule?")
        if where != "reason":
            await s.type("a trial piece")
            await s.press("enter")
            await s.sees("Override plated-on-soil")
        if where == "open":
            await s.pin("cleo")
            await s.sees("Open the batch")
        await s.press("escape")
        await s.sees("override, then open")
        assert not s.floor.standing()


async def test_an_operator_is_not_offered_for_an_override(tmp_path: Path) -> None:
    """Only people who may settle."""
    async with stage(tmp_path) as s:
        await to_plan(s)
        await s.sees("override, then open")
        await s.press("space")
        await s.type("it will be fine")
        await s.press("enter")
        await s.sees("Override plated-on-soil", "1 of 2")
        for _ in range(3):
            assert "Otto" not in s.text()
            await s.press("down")


async def test_a_strength_is_asked_only_of_what_hydrogen_may_break(tmp_path: Path) -> None:
    """Brass: the form is a question shorter, and the plan says nothing of strength."""
    a_shop(tmp_path, BRASS)
    async with stage(tmp_path, size=(120, 60)) as s:
        await s.press("o", "1")
        await s.sees("Closed hollows in it?")
        assert "strength" not in s.text()
        for text in ("irons", "", "2", "5 dm²", "", "", "n", "n"):
            await s.type(text)
            await s.press("enter")
        await s.sees("in the tanks")
        assert "strength" not in s.text()


async def test_the_rules_are_asked_for_the_metal_that_the_parts_are_of(tmp_path: Path) -> None:
    """A route for brass or for hardened steel: the steel's strength is no matter to a piece of brass."""
    a_shop(tmp_path, EITHER)
    async with stage(tmp_path, size=(120, 60)) as s:
        await to_plan(s)
        await s.sees("Which metal are the parts of?")
        await s.press("1")
        await s.sees("override, then open")
        assert "strength" not in s.text()
        await s.press("escape", "enter")
        await s.sees("Which metal are the parts of?")
        await s.press("2")
        await s.sees("the strength of this steel is not known", "ask the chargehand")


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        ("hollow", "perhaps", "Closed hollows in it? y or n: neither yes nor no"),
        ("blind", "2", "Blind holes or cups? y or n: neither yes nor no"),
        ("strength", "strong", "Steel's strength or hardness:"),
        ("strength", "HRC 90", "Steel's strength or hardness:"),
        ("strength", "5 MPa", "a tensile strength of 5 MPa"),
        ("area", "", "Plated area of one piece: no area"),
        ("ratio", "half", "Thinnest over mean, if gauged: no ratio"),
    ],
)
async def test_an_answer_that_is_none_is_said_beside_its_field(
    tmp_path: Path, field: str, text: str, said: str
) -> None:
    """The form stays, with what was typed."""
    async with stage(tmp_path) as s:
        await to_plan(s, **{field: text})
        await s.sees(said, "next, then the plan")


async def test_what_is_wrong_is_told_and_the_first_of_it_is_where_one_writes_next(tmp_path: Path) -> None:
    """Nothing but enter: the part is missing, and its field has the cursor again."""
    async with stage(tmp_path) as s:
        await to_plan(s, part="", area="nought")
        await s.sees("Part: nothing was written", "Plated area of one piece")
        assert s.app.focused is s.app.screen.query_one("#part")
        await s.type("irons")
        await s.press("enter")
        assert s.app.focused is s.app.screen.query_one("#customer")
