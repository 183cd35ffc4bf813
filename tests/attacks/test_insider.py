"""Somebody with a valid key of their own writes lines by hand, past the program."""

from __future__ import annotations

from typing import Any

import pytest

from runner.record.lines import Line
from support.forger import later, named, read, told
from support.saying import Found, Made, Proved
from support.works import FRESH, OPEN, Works

Fact = tuple[str, dict[str, Any], float]


def _to_the_dip(works: Works) -> list[Fact]:
    """What the program itself would write until the rack hangs in the dip."""
    steps = read(works.batch("2026-0001") / "journal.jsonl")
    return [(line.kind, line.data, 1.0) for line in steps[1:4]]


LATE: Fact = ("step-left", {"step": 1}, 600.0)
IN_TIME: Fact = ("step-left", {"step": 1}, 30.0)
GO_ON: Fact = ("step-entered", {"step": 2}, 2.0)
RAISED: Fact = (
    "deviation-raised",
    {"number": 1, "step": 1, "what": "overstayed", "detail": "9 min past its latest time"},
    0.0,
)
EXPLAINED: Fact = ("deviation-explained", {"number": 1, "reason": "the telephone rang"}, 1.0)


def _with(fact: Fact, **data: Any) -> Fact:
    return fact[0], {**fact[1], **data}, fact[2]


def test_lines_by_hand_that_say_what_the_program_would_are_no_forgery(
    works: Works, forger: Made, verdict: Proved
) -> None:
    """The tool of these attacks writes sound lines where it is asked to."""
    forger("otto").by_hand(FRESH, "otto", *_to_the_dip(works), LATE, RAISED, EXPLAINED, GO_ON)
    assert verdict(works.folder).ok


DISORDER: dict[str, tuple[list[Fact], str]] = {
    "a deviation left out": ([LATE, GO_ON], "its deviation comes first"),
    "a deviation of another kind": (
        [LATE, _with(RAISED, what="lifted early"), GO_ON],
        "its deviation comes first",
    ),
    "a deviation of another step": ([LATE, _with(RAISED, step=2)], "its deviation comes first"),
    "a deviation later": ([LATE, ("note-written", {"step": 1, "text": "…"}, 0.0), RAISED], "comes first"),
    "a step skipped": (
        [IN_TIME, ("step-entered", {"step": 3}, 2.0)],
        "step 3 is entered where step 2 is next",
    ),
    "a step entered twice": ([IN_TIME, ("step-entered", {"step": 1}, 2.0)], "where step 2 is next"),
    "a lift that was none": ([IN_TIME, IN_TIME], "cannot happen while the batch is between steps"),
    "a reading where no current is": (
        [("current-read", {"step": 1, "amps": 8.0, "in_tank_dm2": None}, 1.0)],
        "no current is on in step 1",
    ),
    "an answer to nothing": ([("value-given", {"step": 1, "check": 0, "value": 1.0}, 1.0)], "has no check 0"),
    "cautions of somebody's own": (
        [("cautions-confirmed", {"step": 2, "cautions": ["it will be all right"]}, 1.0)],
        "are not those of the plan",
    ),
    "a deviation explained that there is not": ([EXPLAINED], "there is no deviation 1"),
    "a correction of what was no entry": (
        [("entry-corrected", {"step": 1, "line": 4, "reason": "misread", "value": 1.0, "choice": None}, 1.0)],
        "line 4 made no entry",
    ),
    "an event of no kind": ([("parts-blessed", {}, 1.0)], "no event is called"),
    "a key too many": ([_with(IN_TIME, by_whom="otto")], "unknown key 'by_whom'"),
    "a key too few": ([("step-left", {}, 1.0)], "'step' is missing"),
    "a text for a number": ([("step-left", {"step": "1"}, 1.0)], "expected `int`, got `str`"),
    "true for a number": ([("step-left", {"step": True}, 1.0)], "expected `int`, got `bool`"),
    "a step before the first": ([("step-left", {"step": 0}, 1.0)], "is not the step under way"),
    "a step counted from the end": (
        [("note-written", {"step": -1, "text": "…"}, 1.0)],
        "there is no step -1",
    ),
}


@pytest.mark.parametrize("name", DISORDER)
def test_what_cannot_follow_is_found_at_its_line(works: Works, forger: Made, found: Found, name: str) -> None:
    """Found: every line passes the table that the program itself goes by."""
    facts, reason = DISORDER[name]
    before = _to_the_dip(works)
    lines = forger("otto").by_hand(FRESH, "otto", *before, *facts)
    findings = found(works.folder, FRESH, reason)
    at = {int(one.where.rpartition(" ")[2]) for one in findings}
    assert at <= set(range(len(before) + 2, len(lines) + 1))


def test_a_correction_cannot_do_away_with_a_departure(works: Works, forger: Made, found: Found) -> None:
    """Found: a figure put right departs from the plan like any other, and raises its own deviation."""
    walked = [
        (line.kind, line.data, 30.0 if line.kind == "step-left" else 1.0)
        for line in read(works.batch("2026-0001") / "journal.jsonl")[1:7]
    ]
    assert walked[-1][0] == "current-read"
    data = {"step": 2, "line": 7, "reason": "misread", "value": 1.0, "choice": None}
    otto = forger("otto")
    lines = otto.by_hand(
        FRESH, "otto", *walked, ("entry-corrected", data, 1.0), ("step-left", {"step": 2}, 600.0)
    )
    found(works.folder, f"{FRESH} line {len(lines)}", "(outside its window): its deviation comes first")


def _hold_point(works: Works, forger: Made) -> list[Line]:
    """The sound batch up to the chargehand's hold point, written into the batch that is fresh."""
    otto = forger("otto")
    whole = read(works.batch("2026-0001") / "journal.jsonl")
    facts = [line for line in whole[1:] if line.who == "otto"][:-1]
    fresh = read(otto.journal(FRESH))
    start = fresh[0].moment.up_ms - whole[0].moment.up_ms
    moved = [told(f.kind, f.data, works.people["otto"], later(f, start / 1000)) for f in facts]
    return otto.rewrite(FRESH, [*fresh, *moved])


CLAIMS: dict[str, tuple[dict[str, str], str]] = {
    "as himself": ({}, "who may not"),
    "with the role of a chargehand": ({"role": "chargehand"}, "is named otherwise"),
    "with the role and name of the chargehand": (
        {"role": "chargehand", "name": "Cleo Invented"},
        "is named otherwise",
    ),
    "with the id of the chargehand": (
        {"id": "cleo", "role": "chargehand"},
        "names cleo and is signed by otto",
    ),
    "with a role that there is not": ({"role": "master"}, "who may not"),
}
SIGNED: dict[str, tuple[str, dict[str, Any]]] = {
    "a hold point": ("step-signed", {"step": 3, "meaning": "chargehand"}),
    "a settlement": ("deviation-settled", {"number": 1, "disposition": "accepted as it is"}),
    "a release": ("batch-released", {"pieces": 2}),
}


@pytest.mark.parametrize("claim", CLAIMS)
@pytest.mark.parametrize("act", SIGNED)
def test_an_operator_cannot_act_as_chargehand(
    works: Works, forger: Made, found: Found, act: str, claim: str
) -> None:
    """Found: role, name and key are held against the shop's journal, rights against the role."""
    _hold_point(works, forger)
    otto = forger("otto")
    kind, data = SIGNED[act]
    other, reason = CLAIMS[claim]
    facts: list[Fact] = [(kind, {**data, "by": named(works.people["otto"], **other)}, 1.0)]
    if act == "a settlement":
        raised = _with(RAISED, what="reported at the line", step=3)
        facts = [raised, EXPLAINED, *facts]
    if act == "a release":
        facts = [("step-left", {"step": 3}, 1.0), *facts]
    lines = otto.by_hand(FRESH, "otto", *facts)
    found(works.folder, f"{FRESH} line {len(lines)}")
    if act != "a release":  # its hold point is not signed, which is found first
        found(works.folder, f"{FRESH} line {len(lines)}", reason)


def test_an_operator_cannot_name_the_chargehand_whole(works: Works, forger: Made, found: Found) -> None:
    """Found: the chargehand's id, name, role and fingerprint over a signature by the operator's key."""
    _hold_point(works, forger)
    otto = forger("otto")
    otto.keys["cleo"] = otto.keys["otto"]
    by = named(works.people["cleo"])
    fact: Fact = ("step-signed", {"step": 3, "meaning": "chargehand", "by": by}, 1.0)
    lines = otto.by_hand(FRESH, "cleo", fact)
    findings = found(works.folder, f"{FRESH} line {len(lines)}", "is not a key of cleo")
    assert any("names another key than the one that signed" in one.what for one in findings)


def test_facts_in_the_name_of_another_are_found(works: Works, forger: Made, found: Found) -> None:
    """Found: an unsigned line is in the name of who has the batch in hand, and of nobody else."""
    otto = forger("otto")
    lines = read(otto.journal(FRESH))
    for who in ("owen", "nobody-at-all"):
        facts = [
            told(kind, data, works.people["owen"], later(lines[-1], 1), sign=False)
            for kind, data, _ in _to_the_dip(works)
        ]
        otto.rewrite(FRESH, [lines[0], *(_in_name(fact, who) for fact in facts)])
        found(works.folder, f"{FRESH} line 2", f"in the name of {who}, while otto had it in hand")


def _in_name(line: Line, who: str) -> Line:
    return Line(line.seq, line.moment, line.kind, line.data, who, line.prev, line.sig)


def test_who_may_not_walk_may_not_write(works: Works, forger: Made, found: Found) -> None:
    """Found: a trainee has a key and no right to walk; facts signed with it do not count."""
    forger("tess").by_hand(FRESH, "tess", *_to_the_dip(works))
    found(works.folder, f"{FRESH} line 2", "tess was trainee, who may not walk a batch")


def test_another_operator_signs_with_a_name_of_their_own(works: Works, forger: Made, verdict: Proved) -> None:
    """Not found, and no untruth: who may walk can write facts into a batch, and stands there by name."""
    forger("owen").by_hand(FRESH, "owen", *_to_the_dip(works))
    assert verdict(works.folder).ok


def test_time_turned_back_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: within one boot the uptime cannot run back, were the wall clock turned back with it."""
    lines = forger("otto").by_hand(FRESH, "otto", *_to_the_dip(works), ("step-left", {"step": 1}, -500.0))
    found(works.folder, f"{FRESH} line {len(lines)}", "its uptime lies before")


def test_a_wall_clock_moved_without_a_word_is_found(works: Works, forger: Made, found: Found) -> None:
    """Found: the program writes a line for a step of the clock; leaving it out shows in the figures."""
    otto = forger("otto")
    lines = otto.by_hand(FRESH, "otto", *_to_the_dip(works), IN_TIME)
    at = lines[-1].moment
    moved = Line(
        1, type(at)(at.at_ms - 86_400_000, at.boot, at.up_ms), "step-left", {"step": 1}, "otto", "", "AAAA"
    )
    otto.rewrite(FRESH, [*lines[:-1], moved])
    found(works.folder, f"{FRESH} line {len(lines)}", "the wall clock was moved, and no line tells of it")


def test_a_smooth_lie_about_time_is_not_found(works: Works, forger: Made, verdict: Proved) -> None:
    """Not found: who writes all lines by hand can choose times that contradict nothing, and signs for them.

    A later line that the program writes has the true uptime; only what lies between is theirs to choose.
    """
    forger("otto").by_hand(FRESH, "otto", *_to_the_dip(works), IN_TIME, GO_ON)
    assert verdict(works.folder).ok


def test_times_under_a_boot_of_ones_own_are_not_found(works: Works, forger: Made, verdict: Proved) -> None:
    """Not found: across boots only the wall clock is left; the record says that durations are from it."""
    otto = forger("otto")
    lines = otto.by_hand(FRESH, "otto", *_to_the_dip(works), IN_TIME)
    at = lines[-1].moment
    booted = Line(1, type(at)(at.at_ms, "boot-9", 5), "step-left", {"step": 1}, "otto", "", "AAAA")
    otto.rewrite(FRESH, [*lines[:-1], booted])
    assert verdict(works.folder).ok


def test_a_deviation_still_owed_is_noted(works: Works, forger: Made, verdict: Proved) -> None:
    """Not found where the journal ends with the late lift, as it could after a crash: noted.

    Nothing but the deviation can follow, so it cannot stay away and the batch go on.
    """
    forger("otto").by_hand(FRESH, "otto", *_to_the_dip(works), LATE)
    came = verdict(works.folder)
    assert came.ok
    assert any(
        "(overstayed), and its deviation is not written yet" in note for note in came.batches[-1].notes
    )


def test_a_deviation_put_mildly_is_not_found(works: Works, forger: Made, verdict: Proved) -> None:
    """Not found: kind and step of a deviation are held against the fact, its words are the writer's.

    The record still says how long the step took beside how long it might take.
    """
    mild = _with(RAISED, detail="hardly worth a word")
    forger("otto").by_hand(FRESH, "otto", *_to_the_dip(works), LATE, mild, GO_ON)
    assert verdict(works.folder).ok


def test_the_half_done_batch_cannot_be_taken_in_anothers_name(
    works: Works, forger: Made, found: Found
) -> None:
    """Found: to take a batch in hand is signed, by who takes it."""
    lines = forger("otto").by_hand(OPEN, "otto", ("batch-taken", {"by": named(works.people["owen"])}, 1.0))
    found(works.folder, f"{OPEN} line {len(lines)}", "it names owen and is signed by otto")
