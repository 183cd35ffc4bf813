"""Somebody with a valid key opens a batch by hand, past the program."""

from __future__ import annotations

from typing import Any

import pytest

from runner.record.lines import Line
from support.forger import edited, named, read
from support.saying import Found, Made, Proved
from support.works import FRESH, Works


def test_a_plan_that_is_not_the_procedures_is_not_found(works: Works, forger: Made, verdict: Proved) -> None:
    """Not found: the plan on line 1 is taken as the opener signed it, and not computed again.

    Tanks and rectifiers are not in the journal, so nobody could; the procedure's text beside it shows what it
    should have been, and the opener's name stands under both.
    """
    otto = forger("otto")
    line = read(otto.journal(FRESH))[0]
    plan = {
        **line.data["plan"],
        "steps": [{**step, "dwell_max_s": 9000.0} for step in line.data["plan"]["steps"]],
    }
    otto.rewrite(FRESH, [edited(line, plan=plan)])
    otto.fit_shop(FRESH)  # its line there is the operator's own, and the last
    assert verdict(works.folder).ok


OPENINGS: dict[str, tuple[dict[str, Any], str]] = {
    "another procedure's text": ({"procedure_text": 'title = "none"\n'}, "not the one that the plan was"),
    "a format to come": ({"format": 2}, "format 2 is not known"),
    "a format before the first": ({"format": 0}, "format 0 is not known"),
    "a rehearsal": ({"mode": "practice"}, "a practice batch does not count in production"),
    "another batch's name": ({"batch": "2026-0001"}, "it is batch 2026-0001, in a folder named"),
    "no mode of ours": ({"mode": "mock"}, "invalid enum value 'mock'"),
}


@pytest.mark.parametrize("name", OPENINGS)
def test_an_opening_written_by_hand_is_held_to_its_rules(
    works: Works, forger: Made, found: Found, name: str
) -> None:
    """Found, though first line, signature and the shop's line are all made to fit."""
    otto = forger("otto")
    data, reason = OPENINGS[name]
    otto.rewrite(FRESH, [edited(read(otto.journal(FRESH))[0], **data)])
    otto.fit_shop(FRESH)
    found(works.folder, f"{FRESH} line 1", reason)


def test_who_may_not_walk_cannot_open(works: Works, forger: Made, found: Found) -> None:
    """Found: a trainee's batch, in the batch's journal and in the shop's."""
    tess = forger("tess")
    line = read(tess.journal(FRESH))[0]
    opened = Line(
        1, line.moment, line.kind, {**line.data, "by": named(works.people["tess"])}, "tess", "", "AAAA"
    )
    tess.rewrite(FRESH, [opened])
    shop = read(tess.shop)
    tess.rewrite_shop([*shop[:-1], shop[-1]._replace(who="tess")])
    tess.fit_shop(FRESH)
    findings = found(works.folder, f"{FRESH} line 1", "as trainee, who may not walk")
    assert any(one.where == f"shop.jsonl line {len(shop)}" for one in findings)
