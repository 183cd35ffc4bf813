"""Procedures under control, and people who change: what the shop's journal says decides."""

from __future__ import annotations

from dataclasses import replace

import pytest
from msgspec import structs

from runner.faults import InputFault
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.record import approval
from runner.record.floor import CannotOpen
from runner.record.session import NotUnlocked
from runner.record.shop_journal import ShopJournal
from runner.record.verify import verify
from runner.shop.reading import load_shop
from support.floors import PIN, Works


def open_route(works: Works) -> str:
    """Open a batch of the shop's route as its file is now."""
    shop = load_shop(works.folder)
    procedure = load_procedure(works.folder / "procedures" / "route.toml", shop)
    plan = compute(procedure, shop, Order(5.0, 2))
    return works.floor.open_batch(procedure.source, plan, "part", "", works.people["otto"], works.now)


def approve(works: Works, who: str = "cleo") -> None:
    """Approve the route as its file is now."""
    procedure = load_procedure(works.folder / "procedures" / "route.toml", load_shop(works.folder))
    approval.approve(
        works.logs,
        "route.toml",
        procedure.title,
        procedure.revision,
        procedure.source.sha256,
        works.people[who],
        works.now,
    )


def rewrite(works: Works, before: str, after: str) -> None:
    """Change the route's file."""
    file = works.folder / "procedures" / "route.toml"
    text = file.read_text(encoding="utf-8")
    assert before in text
    file.write_text(text.replace(before, after, 1), encoding="utf-8")


def revise(works: Works, revision: str) -> None:
    """Give the route's file another revision."""
    file = works.folder / "procedures" / "route.toml"
    lines = [
        line for line in file.read_text(encoding="utf-8").splitlines() if not line.startswith("revision")
    ]
    at = next(index for index, line in enumerate(lines) if line.startswith("title"))
    lines.insert(at, f'revision = "{revision}"')
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")


def test_what_was_never_approved_may_be_walked(works: Works) -> None:
    """A shop that approves nothing works as before; the record names the text's hash all the same."""
    assert works.state(open_route(works)).opened.plan.procedure_sha256


def test_an_approved_text_may_be_walked_and_a_changed_one_may_not(works: Works) -> None:
    """One character more under the same revision, and the batch does not open."""
    approve(works)
    open_route(works)
    rewrite(works, "[[step]]", "# a word\n[[step]]")
    with pytest.raises(CannotOpen, match="changed since revision"):
        open_route(works)
    assert verify(works.logs).ok


def test_a_superseded_text_may_not_be_walked(works: Works) -> None:
    """The old revision put back after the new one was approved."""
    revise(works, "A")
    approve(works)
    revise(works, "B")
    approve(works)
    open_route(works)
    revise(works, "A")
    with pytest.raises(CannotOpen, match="superseded"):
        open_route(works)


def test_an_opening_that_a_crash_left_out_is_not_held_to_a_later_approval(
    works: Works, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It was opened before anything was approved: the approval names it in the shop's journal first."""

    def torn(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(ShopJournal, "write", torn)
        with pytest.raises(CannotOpen):
            open_route(works)
    works.crash()
    revise(works, "B")
    approve(works)
    assert verify(works.logs).ok
    open_route(works)
    assert verify(works.logs).ok


def test_a_revision_is_not_approved_twice_with_two_texts(works: Works) -> None:
    """Whoever changes a text gives it a new revision."""
    revise(works, "A")
    approve(works)
    with pytest.raises(InputFault, match="approved as it is"):
        approve(works)
    rewrite(works, "[[step]]", "# a word\n[[step]]")
    with pytest.raises(InputFault, match="another text"):
        approve(works)


def test_an_operator_approves_nothing(works: Works) -> None:
    """Approval is the chargehand's or the owner's."""
    with pytest.raises(InputFault, match="may not"):
        approve(works, "otto")


def test_a_new_key_takes_the_old_ones_place_and_old_records_still_prove(works: Works) -> None:
    """Otto forgot his PIN: his old batch proves, his old PIN opens nothing, his new one does."""
    batch = works.open()
    works.follow_to(batch, "release")
    works.floor.roll.change("otto", works.people["olive"], works.now, pin="271828")
    with pytest.raises(NotUnlocked):
        works.floor.roll.unlock("otto", PIN, works.now)
    works.people["otto"] = works.floor.roll.unlock("otto", "271828", works.now)
    second = works.open()
    works.follow_to(second, "release")
    assert verify(works.logs).ok


def test_a_key_that_ended_signs_nothing_new(works: Works) -> None:
    """The old session, still in memory somewhere, opens no batch after the owner took the key away."""
    works.floor.roll.change("otto", works.people["olive"], works.now, active=False)
    with pytest.raises(CannotOpen):
        open_route(works)
    assert [one.id for one in works.floor.roll.people()] == ["olive", "cleo"]
    with pytest.raises(InputFault):
        works.floor.roll.change("otto", works.people["olive"], works.now)
    works.floor.roll.change("otto", works.people["olive"], works.now, pin="271828")
    assert "otto" in [one.id for one in works.floor.roll.people()]


def test_only_an_owner_changes_people(works: Works) -> None:
    """And the last owner cannot leave."""
    with pytest.raises(InputFault):
        works.floor.roll.change("otto", works.people["cleo"], works.now, role="owner")
    with pytest.raises(InputFault):
        works.floor.roll.change("olive", works.people["olive"], works.now, active=False)
    with pytest.raises(InputFault):
        works.floor.roll.change("nobody", works.people["olive"], works.now, role="owner")


def test_a_session_names_the_role_that_the_roll_knows(works: Works) -> None:
    """A forged session makes no operator a chargehand: the line would not prove, so it is not written."""
    otto = works.people["otto"]
    forged = replace(otto, person=structs.replace(otto.person, role="chargehand"))
    with pytest.raises(InputFault):
        approval.approve(works.logs, "route.toml", "t", "Z", "0" * 64, forged, works.now)
