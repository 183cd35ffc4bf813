"""Rules about the oven: relief of stress before plating, relief of hydrogen after it, and what bears no heat.

They speak from 1000 MPa up. The bakes stand in `runner.plating.bake` and `runner.plating.relief`; a bake
does not guarantee freedom from embrittlement, and the customer's specification goes before any table.
"""

from __future__ import annotations

from collections.abc import Iterator

from runner.plating.bake import BAKE_START_WITHIN_H, relief_bake
from runner.plating.constants import SECONDS_PER_HOUR
from runner.plating.relief import stress_relief
from runner.plating.severity import Severity
from runner.plating.sources import Figure, Known, Source
from runner.procedure.rules.hydrogen import GUARDS
from runner.procedure.rules.rule import Case, Found, Rule, rule
from runner.procedure.surface import Stage
from runner.units import Kind, to_unit

_B850 = Source("ASTM B850-98(2009), Table 1", Known.COPY)
_BEFORE = Source("ASTM B850 and ISO 9588: bake before chromating, flexing or grinding", Known.MEMORY)
_DRYING = Source("passivated zinc is not heated over about 60 °C", Known.PRACTICE)

PASSIVATE_HOTTEST_C = Figure(60, "°C", _DRYING)


def _last_deposit(case: Case) -> Stage | None:
    return next((stage for stage in reversed(case.history) if stage.deposits), None)


def _bakes(case: Case) -> Iterator[Stage]:
    return (stage for stage in case.history if stage.step.does == "bake")


@rule(
    "no-stress-relief",
    GUARDS,
    Severity.DOUBT,
    "Strong steel that was ground or formed is relieved of stress before anything is plated.",
    Source("ASTM B849 and ISO 9587", Known.DOUBTFUL),
)
def no_stress_relief(case: Case) -> Iterator[Found]:
    """A bake before the first hydrogen goes in."""
    strength = case.strong_mpa
    first = next((stage for stage in case.history if stage.after.hydrogen), None)
    asked = stress_relief(strength) if strength is not None else None
    if asked is None or first is None:
        return
    bakes = [stage for stage in case.before(first) if stage.step.does == "bake"]
    if not bakes:
        ground = any(stage.step.does == "polish" for stage in case.before(first))
        yield Found(
            first,
            f"no stress relief of {asked.hours:g} h stands before it",
            "Grinding and bending leave the skin pulled tight, and hydrogen cracks what is pulled.",
            f"Bake {asked.hours:g} h at {asked.temperature_c.low:g} to {asked.temperature_c.high:g} "
            "°C first, where it "
            "was ground or formed; ask the customer's engineer.",
            Severity.DOUBT if ground else Severity.ADVICE,
            asked.source,
        )
        return
    dwell = bakes[-1].step.dwell
    if dwell is not None and dwell.least_s < asked.hours * SECONDS_PER_HOUR:
        yield Found(
            bakes[-1],
            f"stress relief of {dwell.least_s / SECONDS_PER_HOUR:.3g} h, where {asked.hours:g} h are asked",
            "What is left of the stress is where cracks begin.",
            f"Bake {asked.hours:g} h, or as the customer's specification says.",
            Severity.DOUBT,
            asked.source,
        )
    oven, right = bakes[-1].step.temperature_c, asked.temperature_c
    if oven is not None and (oven.low < right.low or oven.high > right.high):
        yield Found(
            bakes[-1],
            f"stress relief at {oven.low:g} to {oven.high:g} °C, where {right.low:g} to "
            f"{right.high:g} °C is asked",
            "Cooler, the stress stays; hotter, the steel may go soft.",
            f"Hold {right.low:g} to {right.high:g} °C, 50 °C under the tempering heat.",
            Severity.DOUBT,
            asked.source,
        )


@rule(
    "no-relief-bake",
    GUARDS,
    Severity.DANGER,
    "Strong steel is baked after plating: long enough and hot enough for its strength.",
    _B850,
)
def no_relief_bake(case: Case) -> Iterator[Found]:
    """A bake after the last deposit, its hours and its oven."""
    strength, last = case.strong_mpa, _last_deposit(case)
    if strength is None or last is None:
        return
    asked = relief_bake(strength)
    if asked.temperature_c is None:
        return
    low, high = asked.temperature_c.low, asked.temperature_c.high
    bake = next((stage for stage in _bakes(case) if stage.number > last.number), None)
    remedy = (
        f"Bake {asked.hours} h or more at {low:g} to {high:g} °C, within 4 h of plating, below its tempering "
        "heat."
    )
    why = "Hydrogen from plating gathers in the steel and breaks it days later, under load, without warning."
    if bake is None:
        yield Found(
            last, f"no bake follows, and steel of {strength:.0f} MPa wants {asked.hours} h", why, remedy
        )
        return
    dwell, oven = bake.step.dwell, bake.step.temperature_c
    if dwell is None or oven is None:
        yield Found(
            bake,
            "the bake does not say how long or how hot",
            why,
            remedy,
            Severity.DOUBT,
        )
    if dwell is not None and dwell.least_s < asked.hours * SECONDS_PER_HOUR:
        yield Found(
            bake,
            f"{dwell.least_s / SECONDS_PER_HOUR:.3g} h of bake, where steel of {strength:.0f} MPa "
            f"wants {asked.hours} h",
            why,
            remedy,
            Severity.DOUBT if oven is not None and oven.low > high else None,
        )
    if oven is not None and oven.low < low:
        yield Found(
            bake,
            f"an oven from {oven.low:g} °C, where {low:g} °C is the least",
            "Cooler, the hydrogen stays; other classes bake cooler and their hours are the "
            "customer's to say.",
            remedy,
            Severity.DANGER if oven.high < low else Severity.DOUBT,
        )
    if oven is not None and oven.high > high:
        yield Found(
            bake,
            f"an oven up to {oven.high:g} °C, where {high:g} °C is the most of the table",
            "Within about 50 °C of its tempering heat the steel goes soft.",
            "Read the tempering heat off the certificate and stay 50 °C under it.",
            Severity.DOUBT,
            Source("ASTM B850: 50 °C under the tempering heat", Known.MEMORY),
        )
    if asked.note:
        yield Found(bake, f"{strength:.0f} MPa is {asked.note}", why, remedy, Severity.DOUBT)


@rule(
    "bake-too-late",
    GUARDS,
    Severity.DANGER,
    "The bake starts within 4 h of plating, before any bending, grinding or passivating.",
    BAKE_START_WITHIN_H.source,
)
def bake_too_late(case: Case) -> Iterator[Found]:
    """The way from the last deposit to the bake."""
    last = _last_deposit(case)
    if case.strong_mpa is None or last is None:
        return
    bake = next((stage for stage in _bakes(case) if stage.number > last.number), None)
    if bake is None:
        return
    between = case.history[last.number : bake.number - 1]
    worked = next((stage for stage in between if stage.step.does in {"polish", "blast"}), None)
    if worked is not None:
        yield Found(
            worked,
            "plated strong steel is worked before its bake",
            "Grinding and bending start cracks while the hydrogen is still inside.",
            "Bake first.",
            Severity.SPOIL,
            _BEFORE,
        )
    waited = bake.before.no_current
    limit_s = BAKE_START_WITHIN_H.value * SECONDS_PER_HOUR
    stated_s = waited.most_s if waited is not None else 0.0
    if stated_s > limit_s:
        yield Found(
            bake,
            f"up to {stated_s / SECONDS_PER_HOUR:.1f} h may pass from plating to the bake, where "
            f"{BAKE_START_WITHIN_H.value:g} h is the most",
            "Every hour of waiting lets cracks start.",
            "Shorten the way: give each step its next_within.",
        )
    elif not _asks_for_the_wait(bake) and all(stage.step.next_within_s is None for stage in between):
        yield Found(
            bake,
            "nothing says how soon after plating the bake starts",
            "Every hour of waiting lets cracks start: 4 h at most, 1 h is better.",
            "Write next_within on the steps before it, or ask for the time in a check.",
            Severity.DOUBT,
        )


def _asks_for_the_wait(bake: Stage) -> bool:
    """Whether a question of the bake holds a time to at most the limit."""
    for check in bake.step.checks:
        if check.unit in {"s", "min", "h"} and check.high is not None:
            seconds = check.high / to_unit(1.0, Kind.TIME, check.unit)
            if seconds <= BAKE_START_WITHIN_H.value * SECONDS_PER_HOUR:
                return True
    return False


@rule(
    "passivated-then-heated",
    GUARDS,
    Severity.SPOIL,
    "Passivated zinc is baked before, never after, and dried cool.",
    _BEFORE,
)
def passivated_then_heated(case: Case) -> Iterator[Found]:
    """An oven, a hot tank or hot air after a passivate."""
    passivated = next((stage for stage in case.history if stage.group == "passivate"), None)
    if passivated is None:
        return
    for stage in case.after(passivated):
        oven = stage.step.temperature_c
        hot_air = oven is not None and oven.high > PASSIVATE_HOTTEST_C.value
        hot_tank = stage.wet and stage.after.warm
        if stage.step.does == "bake" or hot_air or hot_tank:
            yield Found(
                stage,
                "passivated zinc is heated",
                "Above about 60 °C the film loses its water and cracks.",
                "Bake before passivating; rinse cold and dry cool after it.",
                Severity.SPOIL if stage.step.does == "bake" else Severity.DOUBT,
                None if stage.step.does == "bake" else _DRYING,
            )


RULES: tuple[Rule, ...] = (no_relief_bake, bake_too_late, no_stress_relief, passivated_then_heated)
