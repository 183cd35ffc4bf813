"""Procedures under control and the people who may, as the screens show them."""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.record import ledger_book
from runner.record.approval import approve
from runner.record.floor import Floor
from runner.record.keys import Keys
from runner.record.ledger_events import RouteSignedOff
from support.floors import PIN, ROUTE
from support.screen import Stage, stage


async def approve_first(s: Stage) -> None:
    """Approve the one route, by keys and the chargehand's PIN."""
    await s.press("u", "p")
    await s.sees("which revisions are approved", "never approved")
    await s.press("1")
    await s.sees("Approve route.toml, revision A")
    await s.pin("cleo")
    await s.sees("approved as revision A by Cleo Demo, 2026-01-01 10:00")
    await s.press("b")
    await s.sees("People")
    await s.press("b")
    await s.sees("No batch is open")


def route_of(folder: Path) -> Path:
    """The route's file."""
    return folder / "shop" / "procedures" / "route.toml"


async def test_a_revision_is_approved_by_keys_and_its_standing_is_seen_where_it_is_chosen(
    tmp_path: Path,
) -> None:
    """By whom and when, on the page of procedures and on the one that opens a batch."""
    async with stage(tmp_path) as s:
        await approve_first(s)
        await s.press("o")
        await s.sees("which procedure?", "✓ approved as revision A by Cleo Demo, 2026-01-01 10:00")
        await s.press("1")
        await s.sees("Plated area")


async def test_who_is_signed_off_for_a_route_is_seen_where_it_is_chosen(tmp_path: Path) -> None:
    """On the line of its approval, once its ledger has begun; before that nothing is said of it."""
    async with stage(tmp_path) as s:
        await approve_first(s)
        await s.press("o")
        await s.sees("which procedure?", "approved as revision A")
        assert "signed off" not in s.text()
        await s.press("b")
        floor = s.app.floor
        cleo = floor.roll.unlock("cleo", PIN, s.app.now())
        ledger_book.write(floor.logs, RouteSignedOff("otto", "route.toml", "A"), cleo, s.app.now())
        await s.sees("No batch is open")
        floor.roll.look_again()
        await s.press("o")
        await s.sees("✓ signed off: otto; approved as revision A by Cleo Demo, 2026-01-01 10:00")


async def test_an_operator_is_not_offered_for_an_approval(tmp_path: Path) -> None:
    """Owner and chargehand may; the operator does not stand among them."""
    async with stage(tmp_path) as s:
        await s.press("u", "p")
        await s.sees("never approved")
        await s.press("1")
        await s.sees("(1 of 2)")
        await s.press("down")
        await s.sees("(2 of 2)")
        assert "Otto" not in s.text()


async def test_a_text_changed_under_its_approved_revision_is_refused_with_the_reason(tmp_path: Path) -> None:
    """The page says so, and its digit says what to do in place of the booking."""
    async with stage(tmp_path) as s:
        await approve_first(s)
        route_of(tmp_path).write_text(ROUTE.replace('"20 s"', '"5 s"'), encoding="utf-8")
        await s.press("o")
        await s.sees("! changed since revision A was approved: cannot be started")
        await s.press("1")
        await s.sees("put it back, or give it a", "new revision and approve that")
        assert "Plated area" not in s.text()


async def test_why_a_procedure_is_refused_can_be_read_though_nine_are_listed(tmp_path: Path) -> None:
    """At 80×24 the list reaches the foot: the reason stands above it."""
    async with stage(tmp_path) as s:
        folder = s.floor.folder / "procedures"
        for number in range(9):
            (folder / f"a{number}.toml").write_text('title = "A"\n', encoding="utf-8")
        await s.press("o")
        await s.sees("which procedure?", "page 1 of")
        await s.press("1")
        await s.sees("missing")
        assert "missing" in "".join(s.rows()[2:5])


async def test_a_superseded_revision_cannot_be_started(tmp_path: Path) -> None:
    """Once B is approved, A's text is refused, though it was approved."""
    async with stage(tmp_path) as s:
        await approve_first(s)
        chargehand = s.floor.roll.unlock("cleo", PIN, s.clock())
        approve(s.floor.logs, "route.toml", "Dip and nickel", "B", "0" * 64, chargehand, s.clock())
        s.floor.roll.look_again()
        await s.press("o")
        await s.sees("! superseded: revision A, now B: cannot be started")
        await s.press("1")
        await s.sees("take the newer one")


async def test_a_procedure_that_does_not_read_says_why_and_cannot_be_approved(tmp_path: Path) -> None:
    """Its first fault, with the line."""
    async with stage(tmp_path, size=(160, 24)) as s:
        route_of(tmp_path).write_text(ROUTE.replace('does = "plate"', 'does = "fly"'), encoding="utf-8")
        await s.press("u", "p")
        await s.sees("route.toml:", '"fly"')
        await s.press("1")
        await s.sees("cannot be approved")


async def test_what_cannot_be_of_a_new_person_is_said_while_it_is_typed(tmp_path: Path) -> None:
    """A short name that cannot be or is taken, and a PIN too short, are told at once."""
    async with stage(tmp_path) as s:
        await s.press("u", "a")
        for wrong, said in (("Pia!", "this is no name for a person"), ("otto", "otto is taken")):
            await s.type(wrong)
            await s.press("enter")
            await s.sees(said, "enter: keep it")
            await s.press(*["backspace"] * len(wrong))
        for right in ("pia", "Pia Demo"):
            await s.type(right)
            await s.press("enter")
        await s.sees("2  trainee: reads and learns; signs nothing")
        await s.press("1")
        await s.sees("Pia Demo: a new PIN")
        await s.type("1234")
        await s.press("enter")
        await s.sees("a PIN has 6 to 64 digits, not 4")
        for _ in range(2):
            await s.type("271828")
            await s.press("enter")
        await s.pin("olive")
        await s.until(lambda: "pia" in {one.id for one in s.floor.roll.people()}, "she works here")


@pytest.mark.parametrize("typed", ["otto", "ott"])
async def test_suspending_somebody_takes_their_name_typed_out_and_the_owners_pin(
    tmp_path: Path, typed: str
) -> None:
    """Enter alone, or half a name, ends nobody's key."""
    async with stage(tmp_path) as s:
        await s.press("u")
        await s.sees("Otto Demo")
        await s.press("down", "s")
        await s.sees("type otto to go through with it")
        await s.type(typed)
        await s.press("enter")
        if typed == "otto":
            await s.pin("olive")
            await s.sees("works here no more")
        assert ("otto" in {one.id for one in s.floor.roll.people()}) is (typed != "otto")


async def test_a_forgotten_pin_is_mended_with_a_new_key(tmp_path: Path) -> None:
    """The owner signs; the new PIN opens, the old one does not."""
    async with stage(tmp_path) as s:
        before = {one.id: one.key for one in s.floor.roll.people()}
        await s.press("u")
        await s.sees("Otto Demo")
        await s.press("down", "k")
        await s.sees("Otto Demo: a new key")
        for _ in range(2):
            await s.type("271828")
            await s.press("enter")
        await s.pin("olive")
        await s.until(
            lambda: {one.id: one.key for one in s.floor.roll.people()}["otto"] != before["otto"],
            "the key is new",
        )
        roll = Floor(s.floor.folder, Keys(tmp_path / "keys", rounds=1)).roll
        assert roll.unlock("otto", "271828", s.clock()).person.id == "otto"
