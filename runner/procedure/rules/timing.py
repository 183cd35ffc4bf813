"""Rules about the time between tanks: what dries and what goes passive on the way.

A missing figure is at most a doubt: the work may still be quick.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.severity import Severity
from runner.plating.sources import Known, Source
from runner.plating.waiting import DRIES_HOT_IN_S, DRIES_IN_S, wait
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.surface import Activity, Elapsed, Stage

GUARDS = "timing"

_PRACTICE = Source("what platers hold of waiting", Known.PRACTICE)
_CLOCKED = frozenset({"chromic acid", "trivalent chromium", "nickel", "acid copper"})


@rule(
    "waits-too-long",
    GUARDS,
    Severity.SPOIL,
    "From active to plated takes no longer than the metal stays active.",
    _PRACTICE,
)
def waits_too_long(case: Case) -> Iterator[Found]:
    """The longest that the procedure allows since the surface became active or its current went off."""
    for stage in case.history:
        surface = stage.before
        if not stage.deposits or surface.activity is not Activity.ACTIVE:
            continue
        row, allowed = wait(surface.top, stage.group), _allowed(case, surface.active_for)
        if row is None or allowed is None or allowed.most_s <= row.doubt_s:
            continue
        ruin = row.ruin_s is not None and allowed.most_s > row.ruin_s
        yield Found(
            stage,
            f"{surface.top} may wait up to {allowed.most_s:.0f} s since step {allowed.since}, where "
            f"{row.doubt_s:g} s "
            "is long",
            "It goes passive in air and under water alike, and what is plated on it then peels or "
            "stays bare.",
            "Shorten the rinses and the ways between, or activate it again directly before.",
            Severity.SPOIL if ruin else Severity.DOUBT,
            row.source,
        )


def _allowed(case: Case, active: Elapsed | None) -> Elapsed | None:
    """The time that may pass, cut to what the step before says of its current."""
    if active is None:
        return None
    said = case.history[active.since - 1].step.current_within_s
    if said is None:
        return active
    # The way is walked in the time that the procedure grants from current to current.
    return Elapsed(active.since, min(said, active.most_s) if active.complete else said)


@rule(
    "current-gap-not-limited",
    GUARDS,
    Severity.DOUBT,
    "From nickel to what is plated on it the time from current off to current on is limited.",
    _PRACTICE,
)
def current_gap_not_limited(case: Case) -> Iterator[Found]:
    """Nickel on top, another deposit next, and neither a limit nor a full account of the time between."""
    for stage in case.history:
        surface = stage.before
        if not stage.deposits or surface.top != "nickel" or stage.group not in _CLOCKED:
            continue
        clock = surface.no_current
        if clock is None or surface.activity is not Activity.ACTIVE or surface.bare:
            continue
        came = case.history[clock.since - 1]
        said_s, row = came.step.current_within_s, wait(surface.top, stage.group)
        if said_s is None and not clock.complete:
            yield Found(
                came,
                "nothing limits the time from current off here to current on in the next deposit",
                "Nickel goes passive in minutes, under rinse water too.",
                'Write current_within = "2 min".',
            )
        elif said_s is not None and row is not None and said_s > row.doubt_s:
            yield Found(
                came,
                f"{said_s:.0f} s are granted from current off to current on, where {row.doubt_s:g} s is long",
                "Nickel goes passive in minutes, under rinse water too.",
                'Write current_within = "2 min", or activate the nickel again before the next deposit.',
                source=row.source,
            )


@rule(
    "way-not-limited",
    GUARDS,
    Severity.DOUBT,
    "The way from one tank to the next is limited, and short enough that nothing dries.",
    _PRACTICE,
)
def way_not_limited(case: Case) -> Iterator[Found]:
    """``next_within`` between two tanks: too long, or not there at all while the surface is active."""
    unlimited: list[Stage] = []
    for stage in case.history:
        after = case.next(stage)
        if not stage.wet or after is None or not after.wet:
            continue
        said_s = stage.step.next_within_s
        if said_s is None:
            said_s = case.shop.limits.next_within_s
        hot = stage.after.warm
        limit = DRIES_HOT_IN_S if hot else DRIES_IN_S
        if said_s is not None and said_s > limit.value:
            yield Found(
                stage,
                f"{said_s:.0f} s to the next tank, where {'hot' if hot else 'wet'} metal dries in "
                f"about {limit.value:g} s",
                "What dries on leaves rings, and a dry surface goes passive.",
                f"Keep it under {limit.value:g} s.",
                Severity.DOUBT,
                limit.source,
            )
        elif said_s is None and _perishes(stage, after):
            unlimited.append(stage)
    if unlimited:
        numbers = ", ".join(str(stage.number) for stage in unlimited)
        yield Found(
            unlimited[0],
            f"nothing limits the way to the next tank, after step{'s' if len(unlimited) > 1 else ''} "
            f"{numbers}",
            "The surface is active there and does not stay so in air.",
            'Write next_within = "30 s" in each, or give the shop a limit.',
        )


def _perishes(stage: Stage, after: Stage) -> bool:
    """Whether waiting here would cost the bond; the way out of a finished coating costs a ring at most."""
    active = stage.after.activity is Activity.ACTIVE and stage.after.top != "chromium"
    return active and (after.deposits or after.rinses or after.works)


RULES: tuple[Rule, ...] = (waits_too_long, current_gap_not_limited, way_not_limited)
