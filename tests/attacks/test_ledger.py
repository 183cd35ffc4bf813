"""Who is able to walk a route: lines of the ledger written, taken out or gone round by hand."""

from __future__ import annotations

import pytest

from runner.record import ledger_book
from runner.record.ledger_events import RouteSignedOff
from support.forger import named, read, told
from support.journals import moment
from support.saying import Found, Made, Proved
from support.works import FRESH, OPEN, Works

SHOP, FILE = "shop.jsonl", "route.toml"


def revision(works: Works) -> str:
    """Of the route that the batches follow."""
    return str(read(works.batch(FRESH) / "journal.jsonl")[0].data["plan"]["revision"])


def sign_off(works: Works, who: str) -> None:
    """The chargehand signs somebody off, through the program."""
    ledger_book.write(
        works.logs, RouteSignedOff(who, FILE, revision(works)), works.people["cleo"], moment(5000)
    )


TOLD: dict[str, tuple[str, str, dict[str, object], str]] = {
    "by an operator, of oneself": ("otto", "route-signed-off", {"id": "otto"}, "who may not do this"),
    "by an operator, of another": ("otto", "route-signed-off", {"id": "owen"}, "who may not do this"),
    "by a trainee": ("tess", "route-signed-off", {"id": "tess"}, "who may not do this"),
    "by a chargehand, of oneself": ("cleo", "route-signed-off", {"id": "cleo"}, "signs off themselves"),
    "of nobody": ("cleo", "route-signed-off", {"id": "nobody"}, "does not work here"),
    "practised, told of another": ("otto", "route-practised", {"id": "tess"}, "who may not do this"),
    "withdrawn by an operator": (
        *("otto", "route-withdrawn"),
        {"id": "owen", "reason": "rivalry"},
        "who may not do this",
    ),
    "with more to say": ("cleo", "route-signed-off", {"id": "otto", "walks": 9}, "unknown key"),
}


@pytest.mark.parametrize("name", TOLD)
def test_a_line_of_the_ledger_told_by_hand_is_held_to_its_rules(
    works: Works, forger: Made, found: Found, name: str
) -> None:
    """Found at that line, though chain and signature are sound."""
    who, kind, data, reason = TOLD[name]
    hand = forger(who)
    whole = {"file": FILE, "revision": "A", **data}
    lines = hand.append_shop(told(kind, whole, works.people[who], moment(6000)))
    found(works.folder, f"{SHOP} line {len(lines)}", reason)


def test_a_sign_off_in_anothers_name_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: the operator's key signs nothing that the chargehand is said to have written."""
    otto = forger("otto")
    data = {"id": "otto", "file": FILE, "revision": "A"}
    line = told("route-signed-off", data, works.people["cleo"], moment(6000))
    otto.append_shop(line)
    found(works.folder, SHOP, "does not stand")


def test_a_batch_walked_round_the_ledger_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: the operator is not signed off, another is, and the opening asks for no chargehand."""
    sign_off(works, "owen")
    batch = forger("otto").open_one_more("otto")
    found(works.folder, f"{batch} line 1", "without a chargehand")


def test_a_batch_opened_as_the_ledger_asks_proves(works: Works, forger: Made, verdict: Proved) -> None:
    """The same by hand with the chargehand asked for; batches from before the ledger began prove too."""
    sign_off(works, "owen")
    forger("otto").open_one_more("otto", supervised=True)
    assert verdict(works.folder).ok


def test_a_batch_that_claims_to_be_supervised_without_need_is_found(
    works: Works, forger: Made, found: Found
) -> None:
    """Found: it would count as a supervised walk of somebody whom nobody watched."""
    batch = forger("otto").open_one_more("otto", supervised=True)
    found(works.folder, f"{batch} line 1", "with a chargehand")


def test_a_batch_taken_round_the_ledger_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: somebody not signed off takes a batch over and hides it."""
    sign_off(works, "otto")
    otto, owen = forger("otto"), forger("owen")
    batch = otto.open_one_more("otto")
    lines = owen.by_hand(batch, "owen", ("batch-taken", {"by": named(works.people["owen"])}, 60))
    found(works.folder, f"{batch} line {len(lines)}", "was not signed off for its route")


def test_a_batch_taken_before_the_ledger_began_proves(works: Works, forger: Made, verdict: Proved) -> None:
    """What counts is the ledger as it was at the opening."""
    owen = forger("owen")
    owen.by_hand(OPEN, "owen", ("batch-taken", {"by": named(works.people["owen"])}, 60))
    sign_off(works, "otto")
    assert verdict(works.folder).ok


def test_a_sign_off_taken_out_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: to end the ledger by cutting its first line out breaks the lines of others after it."""
    sign_off(works, "owen")
    sign_off(works, "otto")
    otto = forger("otto")
    otto.rewrite_shop([one for one in read(otto.shop) if one.data.get("id") != "owen"])
    found(works.folder, SHOP, "does not stand")
