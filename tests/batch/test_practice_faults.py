"""Faults thrown into a practice walk: by seed, sound on every route that comes along."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from runner.batch.practice_faults import (
    EARLIEST,
    LATEST,
    LEAST_DWELL_S,
    LESSONS,
    Fault,
    Trouble,
    answers,
    mixed,
    schedule,
    shows,
)
from runner.procedure.sheet import Plan
from support.shipped import ROUTES, plans

SEEDS = st.integers(0, 2**63)

KEPT = [
    (9, Trouble.NO_RINSE),
    (19, Trouble.COLD),
    (25, Trouble.BURNT),
    (34, Trouble.PHONE),
    (35, Trouble.CURRENT),
]


@settings(deadline=None)  # whichever comes first reads all routes
@given(seed=SEEDS, route=st.sampled_from(ROUTES))
def test_any_seed_gives_a_sound_schedule_on_every_route(seed: int, route: str) -> None:
    """At most one fault a step and one of a kind, in order, inside the dwell of a step that it fits."""
    plan = plans()[route]
    faults = schedule(plan, seed)
    assert faults, "every route has a tank in which the phone can ring"
    assert [fault.step for fault in faults] == sorted({fault.step for fault in faults})
    assert len({fault.trouble for fault in faults}) == len(faults)
    for fault in faults:
        step = plan.step(fault.step)
        assert step.tank is not None
        assert step.dwell_s is not None
        assert step.dwell_s >= LEAST_DWELL_S
        _fits(fault, plan)
        assert any(fault.meter in word or fault.share < 1 for word in _seen(fault, plan))


def _fits(fault: Fault, plan: Plan) -> None:
    step = plan.step(fault.step)
    dwell_s = step.dwell_s or 0.0
    match fault.trouble:
        case Trouble.CURRENT:
            assert step.energised
            assert 0 < fault.share < 1
        case Trouble.BURNT:
            assert step.metal is not None
        case Trouble.COLD:
            assert step.temperature_low_c is not None
        case Trouble.NO_RINSE:
            assert step.does == "rinse"
            assert fault.after_s == 0
            assert plan.step(fault.step - 1).does != "rinse", "water on the parts is no fault"
            return
        case Trouble.PHONE:
            pass
    assert EARLIEST * dwell_s - 0.1 <= fault.after_s <= LATEST * dwell_s + 0.1


def _seen(fault: Fault, plan: Plan) -> list[str]:
    if fault.trouble is Trouble.PHONE:
        return [fault.meter]
    return list(shows(plan.step(fault.step), fault, plan.units))


@settings(deadline=None)  # whichever comes first reads all routes
@given(seed=SEEDS, route=st.sampled_from(ROUTES))
def test_a_seed_is_enough_to_have_the_same_walk_again(seed: int, route: str) -> None:
    """A trainee can be given the very same faults tomorrow."""
    assert schedule(plans()[route], seed) == schedule(plans()[route], seed)


def test_a_schedule_is_the_same_on_every_machine() -> None:
    """By SHA-256 and not by a library's generator: worked out once, kept here."""
    plan = plans()["stirrup-irons.toml"]
    assert [(f.step, f.trouble) for f in schedule(plan, 7)] == KEPT


@pytest.mark.parametrize("trouble", Trouble)
def test_every_kind_of_fault_comes_on_the_longest_route(trouble: Trouble) -> None:
    """Over a few seeds the stirrup irons meet each of them."""
    plan = plans()["stirrup-irons.toml"]
    assert any(fault.trouble is trouble for seed in range(5) for fault in schedule(plan, seed))


def test_seeds_differ() -> None:
    """Nobody learns one walk by heart: twenty seeds give many different ones."""
    plan = plans()["stirrup-irons.toml"]
    assert len({schedule(plan, seed) for seed in range(20)}) > 15


@given(seed=SEEDS, trouble=st.sampled_from(Trouble))
def test_the_right_answer_is_among_the_answers_once(seed: int, trouble: Trouble) -> None:
    """And stands in no fixed place."""
    given_ = answers(trouble, seed)
    assert sorted(given_) == sorted((LESSONS[trouble].right, *LESSONS[trouble].wrong))


def test_the_right_answer_has_no_fixed_place() -> None:
    """Over twenty seeds it stands at each digit."""
    right = LESSONS[Trouble.CURRENT].right
    assert {answers(Trouble.CURRENT, seed).index(right) for seed in range(20)} == {0, 1, 2}


@given(seed=SEEDS, choices=st.lists(st.text(), unique=True, min_size=2, max_size=9))
def test_mixing_loses_no_choice(seed: int, choices: list[str]) -> None:
    """The same answers in another order."""
    assert sorted(mixed(choices, seed, "word")) == sorted(choices)


def test_a_sound_step_shows_its_planned_figures() -> None:
    """Without a fault ammeter and thermometer stand where the plan puts them."""
    plan = plans()["stirrup-irons.toml"]
    step = next(one for one in plan.steps if one.metal == "copper")
    part, ammeter, bath = shows(step, None, "SI")
    assert ammeter == f"ammeter {step.current_a:.3g} A"
    assert bath.startswith("bath ")
    assert part == "part even"
