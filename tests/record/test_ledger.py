"""Who may walk a route by themselves: what the ledger asks, and what a batch makes of it.

That work is done by people proved able for it, and that this is on record: AIAG CQI-11, the item of training
(from memory). The order practised, supervised, signed off: common practice.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from runner.batch import intents as do
from runner.batch.decide import Refused
from runner.batch.kinds import event_data
from runner.batch.questions import next_action
from runner.faults import InputFault
from runner.record import ledger_book
from runner.record.ledger import begun, needs_chargehand, signed_off_for
from runner.record.ledger_events import LedgerEvent, RoutePractised, RouteSignedOff, RouteWithdrawn
from runner.record.shop_reading import read_shop
from runner.record.verify import verify
from support import floors
from support.floors import ROUTE, Works, write_shop

FILE = "route.toml"
SIGNED_OFF = RouteSignedOff("otto", FILE, "A")


@pytest.fixture
def works(tmp_path: Path) -> Works:
    """A shop whose route has a hold point that its operator signs, and a second operator."""
    folder = write_shop(tmp_path / "shop")
    text = ROUTE.replace('sign = "chargehand"', 'sign = "operator"')
    (folder / "procedures" / FILE).write_text(text, encoding="utf-8")
    made = Works(folder, tmp_path / "keys")
    made.people = floors.hire(
        made.floor,
        {
            "olive": ("Olive Demo", "owner"),
            "otto": ("Otto Demo", "operator"),
            "nina": ("Nina Demo", "operator"),
            "cleo": ("Cleo Demo", "chargehand"),
        },
        made.now,
    )
    return made


def tell(works: Works, event: LedgerEvent, by: str = "cleo") -> None:
    """A line of the ledger."""
    ledger_book.write(works.logs, event, works.people[by], works.now)
    works.floor.roll.look_again()


def to_the_hold(works: Works, batch: str) -> None:
    """Walk until the hold point waits for its signature."""
    works.follow_to(batch, "enter", 2)
    while works.state(batch).run is None or next_action(works.state(batch), works.now).name != "sign":
        works.follow(batch)


def walked(works: Works, batch: str, signer: str) -> None:
    """To its release, the hold point signed by somebody."""
    to_the_hold(works, batch)
    works.floor.act(batch, do.Sign(), works.wait(1).now, works.people[signer])
    works.follow_to(batch, "release")


def test_a_shop_without_a_ledger_walks_as_before(works: Works) -> None:
    """Nothing is asked, and line 1 holds the same fields as ever; practising alone begins no ledger."""
    tell(works, RoutePractised("otto", FILE, "A"), "otto")
    batch = works.open()
    assert not works.state(batch).supervised
    assert "supervised" not in event_data(works.state(batch).opened)
    walked(works, batch, "otto")
    assert works.proves(batch)


def test_who_is_signed_off_signs_the_hold_point_and_another_has_a_chargehand_do_it(works: Works) -> None:
    """The same route and the same hold point; both records prove."""
    tell(works, SIGNED_OFF)
    own = works.open("otto")
    walked(works, own, "otto")
    hers = works.open("nina")
    to_the_hold(works, hers)
    with pytest.raises(Refused, match="may not sign chargehand"):
        works.floor.act(hers, do.Sign(), works.wait(1).now, works.people["nina"])
    works.floor.act(hers, do.Sign(), works.now, works.people["cleo"])
    works.follow_to(hers, "release")
    assert [(s.meaning, s.by.id) for run in works.refold(hers).runs for s in run.signatures] == [
        ("chargehand", "cleo")
    ]
    assert works.proves(own)
    assert works.proves(hers)


def test_a_chargehand_walks_any_route(works: Works) -> None:
    """Theirs is the signature that the others need."""
    tell(works, SIGNED_OFF)
    assert not works.state(works.open("cleo")).supervised


def test_a_new_revision_asks_for_a_new_sign_off(works: Works) -> None:
    """The ledger is the file's, and goes on; a sign-off is for one revision."""
    tell(works, SIGNED_OFF)
    shop = read_shop(works.logs)
    otto = works.people["otto"].person
    assert not needs_chargehand(shop, FILE, "A", otto)
    assert needs_chargehand(shop, FILE, "B", otto)
    assert not needs_chargehand(shop, "another.toml", "A", otto)


def test_a_walk_taken_over_by_who_is_not_signed_off_stays_supervised(works: Works) -> None:
    """To its end, were it taken back: else who walked the steps would sign them after all."""
    tell(works, SIGNED_OFF)
    batch = works.open("otto")
    for who in ("nina", "otto"):
        works.floor.use(batch, works.people[who])
        works.floor.act(batch, do.Take(), works.wait(1).now, works.people[who])
    assert works.state(batch).supervised
    to_the_hold(works, batch)
    with pytest.raises(Refused):
        works.floor.act(batch, do.Sign(), works.wait(1).now, works.people["otto"])
    works.floor.act(batch, do.Sign(), works.now, works.people["cleo"])
    works.follow_to(batch, "release")
    assert works.proves(batch)


def test_a_withdrawal_counts_for_what_is_opened_after_it(works: Works) -> None:
    """The ledger goes on, though nobody is signed off any more; batches before and after prove."""
    tell(works, SIGNED_OFF)
    before = works.open("otto")
    tell(works, RouteWithdrawn("otto", FILE, "A", "two burnt racks"))
    after = works.open("otto")
    assert (works.state(before).supervised, works.state(after).supervised) == (False, True)
    assert begun(read_shop(works.logs), FILE)
    assert signed_off_for(read_shop(works.logs), FILE, "A") == ()
    works.floor.close()
    assert verify(works.folder).findings == ()


def test_supervised_walks_are_counted_from_released_batches(works: Works) -> None:
    """Opened supervised, released, by who opened them; one still open or abandoned does not count."""
    tell(works, RoutePractised("nina", FILE, "A"), "nina")
    tell(works, SIGNED_OFF)
    for _ in range(2):
        walked(works, works.open("nina"), "cleo")
    abandoned = works.open("nina")
    works.floor.act(abandoned, do.Abandon("wrong parts"), works.now, works.people["nina"])
    works.open("nina")
    walked(works, works.open("otto"), "otto")
    rows = {one.id: one for one in ledger_book.able(read_shop(works.logs), works.logs)}
    assert (rows["nina"].practised, rows["nina"].supervised, rows["nina"].signed_off) == (1, 2, None)
    assert (rows["otto"].practised, rows["otto"].supervised) == (0, 0)
    assert rows["otto"].signed_off is not None
    assert rows["otto"].signed_off.by == "cleo"


def test_a_line_counts_only_by_who_may(works: Works) -> None:
    """Refused before it is written: by an operator, of oneself, twice, of nobody, withdrawn from nobody."""
    for event, by in (
        (SIGNED_OFF, "nina"),
        (RouteSignedOff("cleo", FILE, "A"), "cleo"),
        (RouteSignedOff("nobody", FILE, "A"), "cleo"),
        (RoutePractised("nina", FILE, "A"), "otto"),
        (RouteWithdrawn("nina", FILE, "A", "never was"), "cleo"),
        (RouteSignedOff("nina", FILE, " "), "cleo"),
        (RouteSignedOff("nina", "two\nlines", "A"), "cleo"),
    ):
        with pytest.raises(InputFault):
            tell(works, event, by)
    tell(works, SIGNED_OFF)
    with pytest.raises(InputFault, match="is signed off"):
        tell(works, SIGNED_OFF, "olive")
