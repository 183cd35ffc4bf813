"""What booking said of the parts, in the journal's first line and in the record; and what is never opened."""

from __future__ import annotations

from typing import Any

import pytest

from runner.batch import intents as do
from runner.batch.kinds import event_data, read_event
from runner.batch.terms import Standing
from runner.procedure.plan import Order, compute
from runner.procedure.reading import load_procedure
from runner.record.floor import CannotOpen
from runner.shop.reading import load_shop
from support.batches import opening
from support.floors import Works
from support.records import record_of

FATAL = Standing("hollow-part-heated", "danger", 2, "a closed hollow part is heated", overridable=False)
DOUBT = Standing("oil-in-oxidiser", "doubt", 2, "something oily may come into it", overridable=False)


def opened(works: Works, order: Order, *findings: Standing) -> str:
    """A batch of the shop's route for an order."""
    shop = load_shop(works.folder)
    procedure = load_procedure(works.folder / "procedures" / "route.toml", shop)
    plan = compute(procedure, shop, order)
    return works.floor.open_batch(
        procedure.source, plan, "stirrup irons", "", works.people["otto"], works.now, findings
    )


def parts_in_record(works: Works, batch: str) -> dict[str, Any]:
    """What the record of the batch, ended here, says of its parts."""
    works.floor.act(batch, do.Abandon("seen enough"), works.wait(5).now, works.people["otto"])
    record = record_of(works.logs / batch)
    assert works.proves(batch)
    parts: dict[str, Any] = record["parts"]
    return parts


def test_the_record_says_what_was_said_of_the_parts(works: Works) -> None:
    """A strength in MPa, a yes and a no; and it proves."""
    batch = opened(works, Order(5.0, 2, strength_mpa=1250.0, hollow=False, blind=True))
    parts = parts_in_record(works, batch)
    assert (parts["strength_mpa"], parts["closed_hollows"], parts["blind_holes"]) == (1250, "no", "yes")


def test_the_record_says_nothing_of_what_nobody_said(works: Works) -> None:
    """Then it is, byte for byte, what a release before these questions wrote."""
    parts = parts_in_record(works, opened(works, Order(5.0, 2)))
    assert not {"strength_mpa", "closed_hollows", "blind_holes"} & parts.keys()


def test_a_first_line_from_before_these_questions_still_reads() -> None:
    """Without their keys the plan and the findings are as where nobody has answered."""
    now = opening()
    old = event_data(now)
    for key in ("strength_mpa", "hollow", "blind"):
        old["plan"].pop(key, None)
    assert read_event("batch-opened", old) == now


def test_a_route_that_nobody_may_override_is_opened_by_nobody(works: Works) -> None:
    """Not by the record room either, whatever a screen asked first; a doubt of such a rule bars nothing."""
    with pytest.raises(CannotOpen, match="never walked: a closed hollow part is heated"):
        opened(works, Order(5.0, 2, hollow=True), FATAL)
    assert not works.floor.standing()
    assert opened(works, Order(5.0, 2), DOUBT)
